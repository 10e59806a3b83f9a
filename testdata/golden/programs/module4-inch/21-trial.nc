(21-trial.nc: trial cuts at the front end, to find the sliding size)
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
(Minutes expected, stops not counted: 15.0)
G17 G40 G49 G54 G80 G90 G94
G20
(trial cuts)
(T4 dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
T4 M6
(Touch off the length of T4, Z0 as at the head. It need not be if it)
(stands in the spindle as 20-insert.nc left it and nothing was moved)
M0
S760 M3
G0 Z0.21654
(Pass 1: step 1, 0.2012 in under the shoulders)
G0 X-0.13937 Y0.20059
G0 Z-0.25
G0 X-0.09843
G1 X0.25 F0.787
G1 Y0.23996
G0 Y0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937 Y0.20059
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23996
G0 Y0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937 Y0.20059
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23996
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.20059
G0 Z-0.25
G0 X-0.09843
G1 X0.25
G1 Y-0.23996
G0 Y-0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937 Y-0.20059
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23996
G0 Y-0.39528
(the same cut once more: the cutter sprang away)
G0 Z0.21654
G0 X-0.13937 Y-0.20059
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23996
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 1. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 1 into fit.step and end here.)
M0
(Pass 2: step 2, 0.2010 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.20049
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23986
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.20049
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23986
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 2. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 2 into fit.step and end here.)
M0
(Pass 3: step 3, 0.2008 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.20039
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23976
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.20039
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23976
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 3. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 3 into fit.step and end here.)
M0
(Pass 4: step 4, 0.2006 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.2003
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23967
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.2003
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23967
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 4. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 4 into fit.step and end here.)
M0
(Pass 5: step 5, 0.2004 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.2002
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23957
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.2002
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23957
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 5. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 5 into fit.step and end here.)
M0
(Pass 6: step 6, 0.2002 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.2001
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23947
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.2001
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23947
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 6. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 6 into fit.step and end here.)
M0
(Pass 7: step 7, 0.2000 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.2
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23937
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.2
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23937
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 7. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 7 into fit.step and end here.)
M0
(Pass 8: step 8, 0.1998 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.1999
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23927
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.1999
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23927
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 8. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 8 into fit.step and end here.)
M0
(Pass 9: step 9, 0.1996 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.1998
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23917
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.1998
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23917
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 9. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 9 into fit.step and end here.)
M0
(Pass 10: step 10, 0.1994 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.1997
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23907
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.1997
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23907
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 10. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 10 into fit.step and end here.)
M0
(Pass 11: step 11, 0.1992 in under the shoulders)
S760 M3
G0 X-0.13937 Y0.19961
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y0.23898
G0 Y0.39528
G0 Z0.21654
G0 X-0.13937 Y-0.19961
G0 Z-0.25
G0 X-0.07874
G1 X0.25
G1 Y-0.23898
G0 Y-0.39528
G0 Z0.21654
G0 X1.71811
M5
(Step 11. Brush off and try the front end by hand: leave the block in)
(the vice, no stop puts it back so near, and bring the gear, or a)
(gauge cut like its slot, to it. If it starts and slides 0.2500 in,)
(write 11 into fit.step and end here.)
M0
M2
