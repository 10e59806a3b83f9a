%
N10 G17 G20 G40 G49 G90 G94
N20 G0 Z1.
N30 G0 X0 Y0
N40 G1 Z-.05 F4.5
N50 G2 X1. Y0. I.5 J0.
N60 G0 Z1.
%
anything at all: not read (3.2)
