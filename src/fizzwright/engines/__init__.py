"""Pure numbers, in the order the carbon goes: gas line, bubbles, water, living things, day."""
