"""The current as moving traces: one small page that needs nothing else, for a browser without a network."""

from __future__ import annotations

import base64
import json

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.svg import escape
from fizzwright.papers.tokens import FAMILY, PALETTES, Sheet
from fizzwright.papers.words import chem
from fizzwright.stages.place_result import PlaceResult, Rectangle

__all__ = ["traces_page"]

Field = NDArray[np.float64]
# Points along the longest side: enough to draw, and a page of a few tens of kilobytes.
MOST_POINTS = 72


def _packed(field: Field, top: float) -> str:
    """A field as signed bytes of its largest speed, in text."""
    share = np.clip(np.round(127.0 * field / top), -127, 127).astype(np.int8)
    return base64.b64encode(share.tobytes()).decode("ascii")


def _view(found: PlaceResult, *, upright: bool) -> dict[str, object]:
    """One cut for the page: its speeds, and boxes as left, low, right, high shares of the cut."""
    streams, drawn = found.streams, found.drawn
    own = next(p for p in found.places if p.beds == found.beds)
    skip = max(1, -(-streams.water.shape[2] // MOST_POINTS))
    if upright:
        row = min(max(int(own.from_front_cm / 100 / streams.cell_m), 0), streams.water.shape[1] - 1)
        across, along, wet = streams.across_m_s[:, row], streams.up_m_s[:, row], streams.water[:, row]
        size, start = (drawn.length_cm, drawn.depth_cm - drawn.ground_cm), drawn.ground_cm
        spot = (own.from_left_cm, own.height_cm - start)
    else:
        layer = streams.water.shape[0] // 4
        across, along, wet = streams.across_m_s[layer], streams.back_m_s[layer], streams.water[layer]
        size, start = (drawn.length_cm, drawn.width_cm), 0.0
        spot = (own.from_left_cm, own.from_front_cm)
    level = own.from_front_cm if upright else drawn.ground_cm + 0.25 * (drawn.depth_cm - drawn.ground_cm)
    across, along, wet = across[::skip, ::skip], along[::skip, ::skip], wet[::skip, ::skip]
    top = max(float(np.abs(across).max()), float(np.abs(along).max()), 1e-6)

    def box(thing: Rectangle) -> list[float]:
        low, high = ("low_cm", "high_cm") if upright else ("front_cm", "back_cm")
        return [
            round(v, 4)
            for v in (
                thing.left_cm / size[0], (getattr(thing, low) - start) / size[1],
                thing.right_cm / size[0], (getattr(thing, high) - start) / size[1],
            )
        ]  # fmt: skip

    return {
        "name": f"Section, {own.from_front_cm:.0f} cm from the front" if upright else "Plan, near the ground",
        "wide": size[0], "high": size[1], "rows": int(across.shape[0]), "columns": int(across.shape[1]),
        "top": top, "u": _packed(across, top), "v": _packed(along, top),
        "wet": base64.b64encode(wet.astype(np.int8).tobytes()).decode("ascii"),
        "stones": [box(b) for b in drawn.boxes if _cut_by(b, level, upright=upright)],
        "beds": [box(b) for b in drawn.beds],
        "spot": [spot[0] / size[0], spot[1] / size[1]],
    }  # fmt: skip


def _cut_by(stone: Rectangle, level_cm: float, *, upright: bool) -> bool:
    """Whether a cut passes through a stone."""
    low, high = (stone.front_cm, stone.back_cm) if upright else (stone.low_cm, stone.high_cm)
    return low <= level_cm <= high


def _style() -> str:
    def tokens(sheet: Sheet) -> str:
        return "".join(f"--{name}:{value};" for name, value in PALETTES[sheet].items())

    return (
        f":root{{{tokens(Sheet.DAY)}}}:root[data-sheet=night]{{{tokens(Sheet.NIGHT)}}}"
        f"*{{box-sizing:border-box}}body{{margin:0;padding:24px 16px;background:var(--paper);"
        f"color:var(--ink);font:15px/1.5 {FAMILY.replace(chr(34), chr(39))}}}"
        "main{max-width:900px;margin:auto}"
        "h1{font-size:23px;margin:0 0 8px}h2{font-size:15px;margin:24px 0 6px}p{margin:0 0 "
        "8px;max-width:60ch}"
        ".help{color:var(--pencil);font-size:13.5px}canvas{width:100%;display:block;border:2.5px "
        "solid var(--ink)}"
        "button{font:inherit;color:var(--ink);background:none;border:1.5px solid var(--ink);min-height:44px;"
        "padding:0 16px;margin:8px 12px 0 0}button:focus-visible{outline:3px solid "
        "var(--water);outline-offset:2px}"
    )


_SCRIPT = """
const data=JSON.parse(document.getElementById('fields').textContent);
const bytes=t=>Int8Array.from(atob(t),c=>c.charCodeAt(0));
const css=n=>getComputedStyle(document.documentElement).getPropertyValue('--'+n).trim();
const still=matchMedia('(prefers-reduced-motion: reduce)').matches;
let running=!still,seed=12345;
const chance=()=>(seed=(seed*1103515245+12345)%2147483648)/2147483648;
const views=data.map((d,n)=>{
 const u=bytes(d.u),v=bytes(d.v),wet=bytes(d.wet),canvas=document.getElementById('view'+n);
 const wide=canvas.clientWidth,high=Math.round(wide*d.high/d.wide),sharp=Math.min(devicePixelRatio||1,2);
 canvas.width=wide*sharp;canvas.height=high*sharp;canvas.style.height=high+'px';
 const pen=canvas.getContext('2d');pen.scale(sharp,sharp);
 const inside=(x,y)=>x>0&&y>0&&x<d.columns&&y<d.rows&&wet[(y|0)*d.columns+(x|0)];
 const fresh=()=>{let p;
  do{p={x:chance()*d.columns,y:chance()*d.rows,age:chance()*6,tail:[]}}while(!inside(p.x,p.y));return p};
 const dots=Array.from({length:Math.min(420,Math.round(wide*high/700))},fresh);
 const cell=d.wide/100/d.columns;
 const at=(f,x,y)=>{x=Math.min(Math.max(x-.5,0),d.columns-1.001);y=Math.min(Math.max(y-.5,0),d.rows-1.001);
  const i=x|0,j=y|0,a=x-i,b=y-j,o=j*d.columns+i,r=o+d.columns;
  return ((f[o]*(1-a)+f[o+1]*a)*(1-b)+(f[r]*(1-a)+f[r+1]*a)*b)*d.top/127};
 const px=x=>x/d.columns*wide,py=y=>high-y/d.rows*high;
 const step=s=>dots.forEach((p,k)=>{const a=at(u,p.x,p.y),b=at(v,p.x,p.y);
  p.tail.push([p.x,p.y]);if(p.tail.length>26)p.tail.shift();
  p.x+=a*s/cell;p.y+=b*s/cell;p.age+=s;if(p.age>8||!inside(p.x,p.y))dots[k]=Object.assign(fresh(),{age:0})});
 const draw=()=>{pen.fillStyle=css('water-tint');pen.fillRect(0,0,wide,high);
  pen.setLineDash([12,3,2,3]);pen.strokeStyle=css('leaf');pen.lineWidth=1.25;
  d.beds.forEach(b=>pen.strokeRect(b[0]*wide,high-b[3]*high,(b[2]-b[0])*wide,(b[3]-b[1])*high));pen.setLineDash([]);
  pen.strokeStyle=css('water');dots.forEach(p=>{if(p.tail.length<2)return;pen.lineWidth=1.1;pen.beginPath();
   pen.moveTo(px(p.tail[0][0]),py(p.tail[0][1]));p.tail.forEach(q=>pen.lineTo(px(q[0]),py(q[1])));pen.stroke();
   const h=p.tail[p.tail.length-1];pen.lineWidth=2.2;pen.beginPath();
   const g=p.tail[Math.max(p.tail.length-8,0)];pen.moveTo(px(g[0]),py(g[1]));
   pen.lineTo(px(h[0]),py(h[1]));pen.stroke()});
  pen.fillStyle=css('paper');pen.strokeStyle=css('ink');pen.lineWidth=1.5;
  d.stones.forEach(b=>{pen.fillRect(b[0]*wide,high-b[3]*high,(b[2]-b[0])*wide,(b[3]-b[1])*high);
   pen.strokeRect(b[0]*wide,high-b[3]*high,(b[2]-b[0])*wide,(b[3]-b[1])*high)});
  pen.fillStyle=css('gas');pen.beginPath();pen.arc(d.spot[0]*wide,high-d.spot[1]*high,7,0,7);pen.fill()};
 return {step,draw}});
for(let n=0;n<60;n++)views.forEach(w=>w.step(.05));
views.forEach(w=>w.draw());
let before=0;
const turn=now=>{
 if(running){const s=Math.min((now-before)/1000,.05);views.forEach(w=>{w.step(s);w.draw()})}
 before=now;requestAnimationFrame(turn)};
requestAnimationFrame(turn);
const stop=document.getElementById('stop');
const said=()=>{stop.textContent=running?'Hold still':'Let it run'};
stop.onclick=()=>{running=!running;said()};said();
document.getElementById('sheet').onclick=()=>{const r=document.documentElement;
 r.dataset.sheet=r.dataset.sheet==='night'?'day':'night';views.forEach(w=>w.draw())};
"""


def traces_page(found: PlaceResult) -> str:
    """The page: a section and a plan with water moving at its real pace, and a button that holds it still.

    It stays still for a reader who asks their system for less motion. It reaches for nothing outside itself.
    """
    views = [_view(found, upright=True), _view(found, upright=False)]
    pictures = "".join(
        f'<h2>{escape(str(view["name"]))}</h2><canvas id="view{n}" role="img" '
        f'aria-label="{escape(str(view["name"]))}: traces of the current"></canvas>'
        for n, view in enumerate(views)
    )
    policy = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        f"<title>{escape(found.name)}: the current</title><style>{_style()}</style></head><body><main>"
        f"<h1>{escape(found.name)}: where the water goes</h1><p>{escape(chem(found.verdict))}</p>"
        '<p class="help">Traces run at the pace of the water; thick ends lead. Chain lines are beds, the '
        "copper dot is the diffuser. A model of the mean current, not a measurement.</p>"
        '<button id="stop" type="button"></button>'
        '<button id="sheet" type="button">Day or night sheet</button>'
        f'{pictures}</main><script type="application/json" id="fields">{json.dumps(views)}</script>'
        f"<script>{_SCRIPT}</script></body></html>"
    )
