"""The gas line, in the order the gas goes: bottle, regulator, needle, counter, tube, diffuser, room."""
