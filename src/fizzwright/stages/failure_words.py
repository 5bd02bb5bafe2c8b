"""What is said of each fault: what happens, what the keeper would see, what to do first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["FAULT_WORDS", "FaultWords"]


@dataclass(frozen=True)
class FaultWords:
    """One fault in words."""

    happens: str
    sees: str
    first: str


FAULT_WORDS: Mapping[str, FaultWords] = MappingProxyType({
    "valve stuck open": FaultWords(
        "the gas valve does not shut at gas-off",
        "Bubbles go on after gas-off; pH keeps falling overnight; the checker is yellow in the morning; "
        "animals breathe fast or hang at the surface.",
        "Shut the bottle valve by hand, not only the timer; stir the surface or add air; watch the animals.",
    ),
    "valve stuck shut": FaultWords(
        "no gas comes at gas-on",
        "No bubbles in the counter; pH stays high; the checker turns blue by evening; leaves do not pearl.",
        "Not urgent for the animals. Look at plug, timer and coil, then at the gauges; dim the lamp while "
        "the gas is off for days.",
    ),
    "valve leaking by": FaultWords(
        "15 % of the feed passes while the valve is shut",
        "A slow bubble long after gas-off; CO2 at lights-on higher than it was; the bottle loses mass at "
        "night.",
        "Count bubbles an hour after gas-off. Clean or change the valve; until then shut the bottle at "
        "night.",
    ),
    "end of the bottle": FaultWords(
        "the liquid is gone and the low pressure has crept up with the last of the gas",
        "The high gauge has fallen, the low gauge has risen; more bubbles than were set; pH lower than "
        "usual.",
        "Turn the needle down now. Swap the bottle when the high gauge starts to fall, and set the needle "
        "anew.",
    ),
    "diffuser cracked": FaultWords(
        "the gas comes in coarse bubbles that break the surface",
        "A few large bubbles from one spot; CO2 falls at the same bubble rate; the low gauge may drop a "
        "little.",
        "Change the disc. Do not make up for it with more gas: a new disc would then overdose.",
    ),
    "power cut": FaultWords(
        "lamp and pump stop at lights-on for 12 h, the gas valve falls shut",
        "No sound from the filter, a still surface, animals gathering under it as oxygen falls; the "
        "filter's own bacteria run short within hours.",
        "Stir by hand or with a battery air pump; do not feed; rinse a filter that stood for hours before "
        "it runs again; check that the gas stays shut when power returns.",
    ),
    "pump stopped, gas on": FaultWords(
        "the surface stands still while gas and lamp keep their clock",
        "A still surface with mist hanging in one place; the far end of the tank goes short while CO2 "
        "climbs near the diffuser; animals at one end.",
        "Shut the gas first, then get the pump running; add air if animals gasp.",
    ),
    "gas clock an hour early": FaultWords(
        "the gas timer runs an hour before the lamp's, as after a change of clocks",
        "Fine in the morning; the late hours of light run short.",
        "Set both timers to one watch; do it again at every change of clocks.",
    ),
    "gas clock an hour late": FaultWords(
        "the gas timer runs an hour behind the lamp's, as after a change of clocks",
        "Short of CO2 at lights-on; gas runs on closer to lamp-off.",
        "Set both timers to one watch; do it again at every change of clocks.",
    ),
    "probe reads high": FaultWords(
        "the pH probe shows 0.2 too much and the feed is raised to suit it",
        "The meter says all is well; the checker turns yellow; animals breathe fast late in the light.",
        "Believe the animals, then the checker. Turn the feed back, put the probe in pH 7 and 4, and only "
        "then trust it.",
    ),
    "big trim": FaultWords(
        "two thirds of the plants are cut away",
        "Less pearling; CO2 a little higher late in the light; oxygen lower by evening.",
        "Read pH in the last hour of light on the two days after; turn the feed down if it passes the "
        "usual peak.",
    ),
    "heat wave": FaultWords(
        "the room is 10 °C warmer for three days, and the water follows",
        "Animals breathe faster and gather at the surface before dawn; the same bubbles bring a little "
        "less CO2.",
        "Stir the surface day and night and turn the gas down: warm water holds less oxygen, and the same "
        "CO2 weighs more. Cool by airing over the surface, a degree or two a day.",
    ),
    "whole bottle into the room": FaultWords(
        "all gas is let go at once; the water then takes CO2 from the room's air",
        "A roar or hiss, cold mist near the floor, a headache, a room meter over 5000 ppm.",
        "Leave first with everybody and the pets, open up from outside, and do not go back in to help "
        "anyone; call for help. The tank comes last.",
    ),
})  # fmt: skip
