(21-trial.nc: trial cuts at the front end, to find the sliding size)
(Job: Shaper gear, dividing head)
(Job file's fingerprint: 56d40da3bb81)
(Set-up: the insert's block in the vice, dovetail end up, X along it)
(Zero: X0 front end of the insert, Y0 middle of the block)
(Zero: Z0 top of the insert as faced: the blank stands 0.500 mm over)
(it)
(Units: mm, mm/min)
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
(Minutes expected, stops not counted: 13.7)
G17 G40 G49 G54 G80 G90 G94
G21
(trial cuts)
(T3 dove, 4.200 mm dovetail cutter, stick-out 26.000 mm)
T3 M6
(Touch off the length of T3, Z0 as at the head. It need not be if it)
(stands in the spindle as 20-insert.nc left it and nothing was moved)
M0
S920 M3
G0 Z5.5
(Pass 1: step 1, 4.330 mm under the shoulders)
G0 X-3.1 Y4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0 F21
G1 Y5.265
G0 Y8.6
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.1 Y4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.265
G0 Y8.6
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.1 Y4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.265
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.265
G0 Y-8.6
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.1 Y-4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.265
G0 Y-8.6
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.1 Y-4.265
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.265
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 1. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 1 into fit.step and end here.)
M0
(Pass 2: step 2, 4.325 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.2625
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.2625
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.2625
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.2625
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 2. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 2 into fit.step and end here.)
M0
(Pass 3: step 3, 4.320 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.26
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.26
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.26
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.26
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 3. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 3 into fit.step and end here.)
M0
(Pass 4: step 4, 4.315 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.2575
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.2575
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.2575
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.2575
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 4. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 4 into fit.step and end here.)
M0
(Pass 5: step 5, 4.310 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.255
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.255
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.255
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.255
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 5. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 5 into fit.step and end here.)
M0
(Pass 6: step 6, 4.305 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.2525
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.2525
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.2525
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.2525
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 6. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 6 into fit.step and end here.)
M0
(Pass 7: step 7, 4.300 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.25
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.25
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.25
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.25
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 7. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 7 into fit.step and end here.)
M0
(Pass 8: step 8, 4.295 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.2475
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.2475
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.2475
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.2475
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 8. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 8 into fit.step and end here.)
M0
(Pass 9: step 9, 4.290 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.245
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.245
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.245
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.245
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 9. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 9 into fit.step and end here.)
M0
(Pass 10: step 10, 4.285 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.2425
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.2425
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.2425
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.2425
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 10. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 10 into fit.step and end here.)
M0
(Pass 11: step 11, 4.280 mm under the shoulders)
S920 M3
G0 X-3.1 Y4.24
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y5.24
G0 Y8.6
G0 Z5.5
G0 X-3.1 Y-4.24
G0 Z-5.35
G0 X-2.0
G1 X6.0
G1 Y-5.24
G0 Y-8.6
G0 Z5.5
G0 X35.1
M5
(Step 11. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 11 into fit.step and end here.)
M0
M2
