(22-fit.nc: both dovetail flanks to size, one tight in the middle)
(Job: Lathe back gear, 24 teeth)
(Job file's fingerprint: eba905e23055)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.0197 in over)
(it)
(Units: inch, inch/min)
(Tool T4: dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
(Block in the vice by its tooth end, dovetail end up, 0.4469 in clear)
(of the jaws at least.)
(Parallel to X within 0.01 mm. It is turned over about X to enter the)
(gear: mark its front end.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 17.7)
G17 G40 G49 G54 G80 G90 G94
G20
(finish the dovetail)
(T4 dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
T4 M6
(Touch off the length of T4, Z0 as at the head. It need not be if it)
(stands in the spindle as 21-trial.nc left it and nothing was moved)
M0
S760 M3
G0 Z0.21654
(Pass 1: straight flank)
G0 X-0.13937 Y-0.20039
G0 Z-0.25
(dovetail left cut 1 of 1)
G0 X-0.09843
G1 X1.61811 F0.787
G0 X1.71811
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937
G0 Z-0.25
G0 X-0.07874
G1 X1.61811
G0 X1.71811
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937
G0 Z-0.25
G0 X-0.07874
G1 X1.61811
G0 X1.71811
G0 Z0.21654
(Pass 2: tight flank, whole length)
G0 Y0.20118
G0 Z-0.25
(dovetail right cut 1 of 1)
G0 X1.67717
G1 X-0.03937
G0 X-0.13937
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X1.71811
G0 Z-0.25
G0 X1.65748
G1 X-0.03937
G0 X-0.13937
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X1.71811
G0 Z-0.25
G0 X1.65748
G1 X-0.03937
G0 X-0.13937
G0 Z0.21654
(Pass 3: tight flank, front lead)
G0 Y0.20039
G0 Z-0.25
G0 X-0.07874
G1 X0.43937
G1 Y0.23976
G0 Y0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937 Y0.20039
G0 Z-0.25
G0 X-0.07874
G1 X0.43937
G1 Y0.23976
G0 Y0.39528
G0 Z0.21654
(Pass 4: tight flank, back lead)
G0 X1.71811 Y0.20039
G0 Z-0.25
G0 X1.65748
G1 X1.13937
G1 Y0.23976
G0 Y0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X1.71811 Y0.20039
G0 Z-0.25
G0 X1.65748
G1 X1.13937
G1 Y0.23976
G0 Y0.39528
G0 Z0.21654
M5
M2
