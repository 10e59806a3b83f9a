(20-insert.nc: top, sides, shoulders, dovetail over size)
(Job: Proof press, roller gear)
(Job file's fingerprint: 07bcfbf0e338)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.500 mm over)
(it)
(Units: mm, mm/min)
(Tool T1: end6, 6.000 mm end mill, stick-out 26.000 mm)
(Tool T4: dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
(Tool T6: drill40, 4.000 mm drill, stick-out 55.000 mm)
(Block in the vice by its tooth end, dovetail end up, 10.425 mm clear)
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
(Minutes expected, stops not counted: 26.6)
G17 G40 G49 G54 G80 G90 G94
G21
(top and sides)
(T1 end6, 6.000 mm end mill, stick-out 26.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1290 M3
G0 Z5.5
(Pass 1: top)
G0 X-4.0 Y-3.0
G0 Z0.0
G1 X35.0 F120
G0 X38.0
G0 Y0.0
G1 X-1.0
G0 X-4.0
G0 Y3.0
G1 X35.0
G0 X38.0
G0 Z5.5
(Pass 2: side right)
(side right level 1)
G0 Y8.1
G0 Z-9.425
G1 X-1.0
G0 X-4.0
G0 Y10.0
G0 X38.0
G0 Y7.2
G1 X-1.0
G0 X-4.0
G0 Z5.5
(Pass 3: shoulder right)
(shoulder right level 1)
G0 X38.0 Y6.4728
G0 Z-6.25
G1 X-1.0
G0 X-4.0
G0 Z5.5
(Pass 4: side left)
(side left level 1)
G0 Y-8.1
G0 Z-9.425
G1 X35.0
G0 X38.0
G0 Y-10.0
G0 X-4.0
G0 Y-7.2
G1 X35.0
G0 X38.0
G0 Z5.5
(Pass 5: shoulder left)
(shoulder left level 1)
G0 X-4.0 Y-6.4728
G0 Z-6.25
G1 X35.0
G0 X38.0
G0 Z5.5
M5
(holes for the lock)
(T6 drill40, 4.000 mm drill, stick-out 55.000 mm)
T6 M6
(Touch off the length of T6, Z0 as at the head)
M0
S1940 M3
G0 Z5.5
(Pass 6: hole 1)
G0 X17.0 Y0.0
G0 Z1.0
G1 Z-3.0 F110
G0 Z1.0
G0 Z-2.746
G1 Z-6.2017
G0 Z1.0
G0 Z5.5
M5
(dovetail, over size)
(T4 dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
T4 M6
(Touch off the length of T4, Z0 as at the head)
M0
S770 M3
G0 Z5.5
(Pass 7: dovetail right)
G0 X37.5 Y5.8083
G0 Z-6.25
(dovetail right cut 1 of 5)
G0 X36.5
G1 X-1.0 F20
G0 X-3.5
G0 Y5.6437
(dovetail right cut 2 of 5)
G0 X-2.5
G1 X35.0
G0 X37.5
G0 Y5.4791
(dovetail right cut 3 of 5)
G0 X36.5
G1 X-1.0
G0 X-3.5
G0 Y5.3146
(dovetail right cut 4 of 5)
G0 X-2.5
G1 X35.0
G0 X37.5
G0 Y5.15
(dovetail right cut 5 of 5)
G0 X36.5
G1 X-1.0
G0 X-3.5
G0 Z5.5
(Pass 8: dovetail left)
G0 Y-5.8083
G0 Z-6.25
(dovetail left cut 1 of 5)
G0 X-2.5
G1 X35.0
G0 X37.5
G0 Y-5.6437
(dovetail left cut 2 of 5)
G0 X36.5
G1 X-1.0
G0 X-3.5
G0 Y-5.4791
(dovetail left cut 3 of 5)
G0 X-2.5
G1 X35.0
G0 X37.5
G0 Y-5.3146
(dovetail left cut 4 of 5)
G0 X36.5
G1 X-1.0
G0 X-3.5
G0 Y-5.15
(dovetail left cut 5 of 5)
G0 X-2.5
G1 X35.0
G0 X37.5
G0 Z5.5
M5
M2
