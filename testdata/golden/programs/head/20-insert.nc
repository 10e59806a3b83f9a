(20-insert.nc: top, sides, shoulders, dovetail over size)
(Job: Shaper gear, dividing head)
(Job file's fingerprint: 56d40da3bb81)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.500 mm over)
(it)
(Units: mm, mm/min)
(Tool T1: end4, 4.000 mm end mill, stick-out 24.000 mm)
(Tool T3: dove, 4.200 mm dovetail cutter, stick-out 26.000 mm)
(Block in the vice by its tooth end, dovetail end up, 9.350 mm clear)
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
(Minutes expected, stops not counted: 20.5)
G17 G40 G49 G54 G80 G90 G94
G21
(top and sides)
(T1 end4, 4.000 mm end mill, stick-out 24.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1940 M3
G0 Z5.5
(Pass 1: top)
G0 X-3.0 Y-3.5
G0 Z0.0
G1 X33.0 F120
G0 X35.0
G0 Y-1.1667
G1 X-1.0
G0 X-3.0
G0 Y1.1667
G1 X33.0
G0 X35.0
G0 Y3.5
G1 X-1.0
G0 X-3.0
G0 Z5.5
(Pass 2: side right)
(side right level 1)
G0 X35.0 Y6.825
G0 Z-8.35
G1 X-1.0
G0 X-3.0
G0 Y8.5
G0 X35.0
G0 Y6.15
G1 X-1.0
G0 X-3.0
G0 Z5.5
(Pass 3: shoulder right)
(shoulder right level 1)
G0 X35.0 Y5.5772
G0 Z-5.35
G1 X-1.0
G0 X-3.0
G0 Y7.15
G0 X35.0
G0 Y5.0043
G1 X-1.0
G0 X-3.0
G0 Z5.5
(Pass 4: side left)
(side left level 1)
G0 Y-6.825
G0 Z-8.35
G1 X33.0
G0 X35.0
G0 Y-8.5
G0 X-3.0
G0 Y-6.15
G1 X33.0
G0 X35.0
G0 Z5.5
(Pass 5: shoulder left)
(shoulder left level 1)
G0 X-3.0 Y-5.5772
G0 Z-5.35
G1 X33.0
G0 X35.0
G0 Y-7.15
G0 X-3.0
G0 Y-5.0043
G1 X33.0
G0 X35.0
G0 Z5.5
M5
(dovetail, over size)
(T3 dove, 4.200 mm dovetail cutter, stick-out 26.000 mm)
T3 M6
(Touch off the length of T3, Z0 as at the head)
M0
S920 M3
G0 Z5.5
(Pass 6: dovetail right)
G0 X-3.1 Y4.9283
G0 Z-5.35
(dovetail right cut 1 of 4)
G0 X-2.5
G1 X33.0 F21
G0 X35.1
G0 Y4.7522
(dovetail right cut 2 of 4)
G0 X34.5
G1 X-1.0
G0 X-3.1
G0 Y4.5761
(dovetail right cut 3 of 4)
G0 X-2.5
G1 X33.0
G0 X35.1
G0 Y4.4
(dovetail right cut 4 of 4)
G0 X34.5
G1 X-1.0
G0 X-3.1
G0 Z5.5
(Pass 7: dovetail left)
G0 X35.1 Y-4.9283
G0 Z-5.35
(dovetail left cut 1 of 4)
G0 X34.5
G1 X-1.0
G0 X-3.1
G0 Y-4.7522
(dovetail left cut 2 of 4)
G0 X-2.5
G1 X33.0
G0 X35.1
G0 Y-4.5761
(dovetail left cut 3 of 4)
G0 X34.5
G1 X-1.0
G0 X-3.1
G0 Y-4.4
(dovetail left cut 4 of 4)
G0 X-2.5
G1 X33.0
G0 X35.1
G0 Z5.5
M5
M2
