"""The drawings (SVG text) and the typeset papers (PDF)."""
