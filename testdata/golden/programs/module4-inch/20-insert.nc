(20-insert.nc: top, sides, shoulders, dovetail over size)
(Job: Lathe back gear, 24 teeth)
(Job file's fingerprint: eba905e23055)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.0197 in over)
(it)
(Units: inch, inch/min)
(Tool T1: end6, 0.2500 in end mill, stick-out 1.2500 in)
(Tool T4: dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
(Tool T5: drill, 0.1875 in drill, stick-out 3.0000 in)
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
(Minutes expected, stops not counted: 29.3)
G17 G40 G49 G54 G80 G90 G94
G20
(top and sides)
(T1 end6, 0.2500 in end mill, stick-out 1.2500 in)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1220 M3
G0 Z0.21654
(Pass 1: top)
G0 X-0.16437 Y-0.13091
G0 Z0.0
G1 X1.61811 F4.724
G0 X1.74311
G0 Y0.0
G1 X-0.03937
G0 X-0.16437
G0 Y0.13091
G1 X1.61811
G0 X1.74311
G0 Z0.21654
(Pass 2: side right)
(side right level 1)
G0 Y0.325
G0 Z-0.40748
G1 X-0.03937
G0 X-0.16437
G0 Z0.21654
(Pass 3: shoulder right)
(shoulder right level 1)
G0 X1.74311 Y0.26382
G0 Z-0.25
G1 X-0.03937
G0 X-0.16437
G0 Z0.21654
(Pass 4: side left)
(side left level 1)
G0 Y-0.325
G0 Z-0.40748
G1 X1.61811
G0 X1.74311
G0 Z0.21654
(Pass 5: shoulder left)
(shoulder left level 1)
G0 X-0.16437 Y-0.26382
G0 Z-0.25
G1 X1.61811
G0 X1.74311
G0 Z0.21654
M5
(holes for the lock)
(T5 drill, 0.1875 in drill, stick-out 3.0000 in)
T5 M6
(Touch off the length of T5, Z0 as at the head)
M0
S1620 M3
G0 Z0.21654
(Pass 6: hole 1)
G0 X0.78937 Y0.0
G0 Z0.03937
G1 Z-0.25318 F4.331
G0 Z0.03937
G0 Z0.21654
M5
(dovetail, over size)
(T4 dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
T4 M6
(Touch off the length of T4, Z0 as at the head)
M0
S760 M3
G0 Z0.21654
(Pass 7: dovetail right)
G0 X1.71811 Y0.23224
G0 Z-0.25
(dovetail right cut 1 of 5)
G0 X1.67717
G1 X-0.03937 F0.787
G0 X-0.13937
G0 Y0.22565
(dovetail right cut 2 of 5)
G0 X-0.09843
G1 X1.61811
G0 X1.71811
G0 Y0.21907
(dovetail right cut 3 of 5)
G0 X1.67717
G1 X-0.03937
G0 X-0.13937
G0 Y0.21249
(dovetail right cut 4 of 5)
G0 X-0.09843
G1 X1.61811
G0 X1.71811
G0 Y0.20591
(dovetail right cut 5 of 5)
G0 X1.67717
G1 X-0.03937
G0 X-0.13937
G0 Z0.21654
(Pass 8: dovetail left)
G0 Y-0.23224
G0 Z-0.25
(dovetail left cut 1 of 5)
G0 X-0.09843
G1 X1.61811
G0 X1.71811
G0 Y-0.22565
(dovetail left cut 2 of 5)
G0 X1.67717
G1 X-0.03937
G0 X-0.13937
G0 Y-0.21907
(dovetail left cut 3 of 5)
G0 X-0.09843
G1 X1.61811
G0 X1.71811
G0 Y-0.21249
(dovetail left cut 4 of 5)
G0 X1.67717
G1 X-0.03937
G0 X-0.13937
G0 Y-0.20591
(dovetail left cut 5 of 5)
G0 X-0.09843
G1 X1.61811
G0 X1.71811
G0 Z0.21654
M5
M2
