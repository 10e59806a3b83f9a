G21
G0 X1 (to the side
M2
