(21-trial.nc: trial cuts at the front end, to find the sliding size)
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
(Minutes expected, stops not counted: 13.5)
G17 G40 G49 G54 G80 G90 G94
G21
(trial cuts)
(T4 dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
T4 M6
(Touch off the length of T4, Z0 as at the head. It need not be if it)
(stands in the spindle as 20-insert.nc left it and nothing was moved)
M0
S770 M3
G0 Z5.5
(Pass 1: step 1, 5.030 mm under the shoulders)
G0 X-3.5 Y5.015
G0 Z-6.25
G0 X-2.5
G1 X6.0 F20
G1 Y6.015
G0 Y9.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.5 Y5.015
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.015
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.015
G0 Z-6.25
G0 X-2.5
G1 X6.0
G1 Y-6.015
G0 Y-9.5
(the same cut once more: the cutter sprang away)
G0 Z5.5
G0 X-3.5 Y-5.015
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.015
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 1. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 1 into fit.step and end here.)
M0
(Pass 2: step 2, 5.025 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.0125
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.0125
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.0125
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.0125
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 2. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 2 into fit.step and end here.)
M0
(Pass 3: step 3, 5.020 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.01
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.01
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.01
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.01
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 3. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 3 into fit.step and end here.)
M0
(Pass 4: step 4, 5.015 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.0075
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.0075
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.0075
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.0075
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 4. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 4 into fit.step and end here.)
M0
(Pass 5: step 5, 5.010 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.005
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.005
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.005
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.005
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 5. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 5 into fit.step and end here.)
M0
(Pass 6: step 6, 5.005 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.0025
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.0025
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.0025
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.0025
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 6. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 6 into fit.step and end here.)
M0
(Pass 7: step 7, 5.000 mm under the shoulders)
S770 M3
G0 X-3.5 Y5.0
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y6.0
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-5.0
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-6.0
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 7. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 7 into fit.step and end here.)
M0
(Pass 8: step 8, 4.995 mm under the shoulders)
S770 M3
G0 X-3.5 Y4.9975
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y5.9975
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-4.9975
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-5.9975
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 8. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 8 into fit.step and end here.)
M0
(Pass 9: step 9, 4.990 mm under the shoulders)
S770 M3
G0 X-3.5 Y4.995
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y5.995
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-4.995
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-5.995
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 9. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 9 into fit.step and end here.)
M0
(Pass 10: step 10, 4.985 mm under the shoulders)
S770 M3
G0 X-3.5 Y4.9925
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y5.9925
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-4.9925
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-5.9925
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 10. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 10 into fit.step and end here.)
M0
(Pass 11: step 11, 4.980 mm under the shoulders)
S770 M3
G0 X-3.5 Y4.99
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y5.99
G0 Y9.5
G0 Z5.5
G0 X-3.5 Y-4.99
G0 Z-6.25
G0 X-2.0
G1 X6.0
G1 Y-5.99
G0 Y-9.5
G0 Z5.5
G0 X37.5
M5
(Step 11. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 6.000 mm,)
(write 11 into fit.step and end here.)
M0
M2
