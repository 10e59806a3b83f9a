(22-fit.nc: both dovetail flanks to size, one tight in the middle)
(Job: Proof press, roller gear)
(Job file's fingerprint: 07bcfbf0e338)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.500 mm over)
(it)
(Units: mm, mm/min)
(Tool T4: dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
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
(Minutes expected, stops not counted: 11.8)
G17 G40 G49 G54 G80 G90 G94
G21
(finish the dovetail)
(T4 dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
T4 M6
(Touch off the length of T4, Z0 as at the head. It need not be if it)
(stands in the spindle as 21-trial.nc left it and nothing was moved)
M0
S770 M3
G0 Z5.5
(Pass 1: straight flank)
G0 X-3.5 Y-5.0
G0 Z-6.25
(dovetail left cut 1 of 1)
G0 X-2.5
G1 X35.0 F20
G0 X37.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.5
G0 Z-6.25
G0 X-2.0
G1 X35.0
G0 X37.5
G0 Z5.5
(Pass 2: tight flank, whole length)
G0 Y5.02
G0 Z-6.25
(dovetail right cut 1 of 1)
G0 X36.5
G1 X-1.0
G0 X-3.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X37.5
G0 Z-6.25
G0 X36.0
G1 X-1.0
G0 X-3.5
G0 Z5.5
(Pass 3: tight flank, front lead)
G0 Y5.0
G0 Z-6.25
G0 X-2.0
G1 X10.0
G1 Y6.0
G0 Y9.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.5 Y5.0
G0 Z-6.25
G0 X-2.0
G1 X10.0
G1 Y6.0
G0 Y9.5
G0 Z5.5
(Pass 4: tight flank, back lead)
G0 X37.5 Y5.0
G0 Z-6.25
G0 X36.0
G1 X24.0
G1 Y6.0
G0 Y9.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X37.5 Y5.0
G0 Z-6.25
G0 X36.0
G1 X24.0
G1 Y6.0
G0 Y9.5
G0 Z5.5
M5
M2
