(40-facets.nc: both flanks as flat facets, and the root beside them)
(Job: Shaper gear, dividing head)
(Job file's fingerprint: fe83ebdd9236)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level, come to)
(it with the gear's top going toward -Y, so that the head's backlash)
(lies that way)
(Units: mm, mm/min)
(Tool T1: end4, 4.000 mm end mill, stick-out 24.000 mm)
(Tool T2: end2, 2.000 mm end mill, stick-out 24.000 mm)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: make --lift writes an air program.)
(Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 24.1)
G17 G40 G49 G54 G80 G90 G94
G21
(facets)
(T1 end4, 4.000 mm end mill, stick-out 24.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1940 M3
G0 Z5.9457
(Pass 1: right facet 1)
M5
(From the gap at top dead centre: turn the crank 2 turns and 12 holes)
(on the 18 circle, the gear's top toward +Y, to 24.0000 deg. Go half)
(a turn of the crank beyond and come back to it, so that the backlash)
(lies as before.)
(GEAR AT 24.0000 DEG)
M0
S1940 M3
G0 X33.0 Y26.2257
G0 Z-6.4304
G1 X-1.0 F120
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.4304
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.4304
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 2: right facet 2)
M5
(turn the crank 8 holes on the 18 circle, the gear's top toward -Y,)
(to 20.0000 deg.)
(GEAR AT 20.0000 DEG)
M0
S1940 M3
G0 X33.0 Y22.6832
G0 Z-6.3861
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.3861
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.3861
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 3: right facet 3)
M5
(turn the crank 9 holes on the 18 circle, the gear's top toward -Y,)
(to 15.5000 deg.)
(GEAR AT 15.5000 DEG)
M0
S1940 M3
G0 X33.0 Y18.6978
G0 Z-6.2903
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2903
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2903
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 4: right facet 4)
M5
(turn the crank 10 holes on the 18 circle, the gear's top toward -Y,)
(to 10.5000 deg.)
(GEAR AT 10.5000 DEG)
M0
S1940 M3
G0 X33.0 Y14.2696
G0 Z-5.3135
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-5.3135
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 5: left facet 4)
M5
(turn the crank 2 turns and 6 holes on the 18 circle, the gear's top)
(toward -Y, to -10.5000 deg.)
(GEAR AT -10.5000 DEG)
M0
S1940 M3
G0 Y-14.2696
G0 Z-2.1861
G1 X31.0
G0 X33.0
G0 Z-3.7498
G1 X-1.0
G0 X-3.0
G0 Z-5.3135
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.3135
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.3135
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.3135
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 6: left facet 3)
M5
(turn the crank 10 holes on the 18 circle, the gear's top toward -Y,)
(to -15.5000 deg.)
(GEAR AT -15.5000 DEG)
M0
S1940 M3
G0 X-3.0 Y-18.6978
G0 Z-6.2903
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.2903
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.2903
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 7: left facet 2)
M5
(turn the crank 9 holes on the 18 circle, the gear's top toward -Y,)
(to -20.0000 deg.)
(GEAR AT -20.0000 DEG)
M0
S1940 M3
G0 X-3.0 Y-22.6832
G0 Z-6.3861
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.3861
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 8: left facet 1)
M5
(turn the crank 8 holes on the 18 circle, the gear's top toward -Y,)
(to -24.0000 deg.)
(GEAR AT -24.0000 DEG)
M0
S1940 M3
G0 X-3.0 Y-26.2257
G0 Z-6.4304
G1 X31.0
G0 X33.0
G0 Z5.9457
M5
(facets)
(turn the crank 2 turns and 12 holes on the 18 circle, the gear's top)
(toward +Y, to 0.0000 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before.)
(GEAR AT 0.0000 DEG)
M0
(T2 end2, 2.000 mm end mill, stick-out 24.000 mm)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S3000 M3
G0 Z5.9457
(Pass 9: right root 4)
M5
(turn the crank 1 turn and 13 holes on the 18 circle, the gear's top)
(toward +Y, to 15.5000 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before.)
(GEAR AT 15.5000 DEG)
M0
S3000 M3
G0 X32.0 Y17.7542
G0 Z-7.2588
G1 X-1.0 F48
G0 X-2.0
G0 Z-7.9331
G1 X31.0
G0 X32.0
G0 Z-8.6074
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 10: right root 1)
G0 X32.0 Y17.8537
G0 Z-8.759
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 11: right root 2)
G0 X32.0 Y18.0525
G0 Z-8.9686
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 12: right facet 4)
M5
(turn the crank 10 holes on the 18 circle, the gear's top toward -Y,)
(to 10.5000 deg.)
(GEAR AT 10.5000 DEG)
M0
S3000 M3
G0 X32.0 Y13.2696
G0 Z-6.5951
G1 X-1.0
G0 X-2.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X32.0
G0 Z-6.5951
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 13: right root 5)
G0 X32.0 Y13.3505
G0 Z-6.9604
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 14: right root 6)
G0 X32.0 Y13.7442
G0 Z-7.5702
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 15: right root 3)
M5
(turn the crank 5 holes on the 18 circle, the gear's top toward -Y,)
(to 8.0000 deg.)
(GEAR AT 8.0000 DEG)
M0
S3000 M3
G0 X32.0 Y11.2508
G0 Z-6.6152
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 16: left root 3)
M5
(turn the crank 1 turn and 14 holes on the 18 circle, the gear's top)
(toward -Y, to -8.0000 deg.)
(GEAR AT -8.0000 DEG)
M0
S3000 M3
G0 X32.0 Y-11.2508
G0 Z-5.6904
G1 X-1.0
G0 X-2.0
G0 Z-6.6152
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 17: left facet 4)
M5
(turn the crank 5 holes on the 18 circle, the gear's top toward -Y,)
(to -10.5000 deg.)
(GEAR AT -10.5000 DEG)
M0
S3000 M3
G0 X-2.0 Y-13.2696
G0 Z-6.5951
G1 X31.0
G0 X32.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-2.0
G0 Z-6.5951
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 18: left root 5)
G0 X-2.0 Y-13.3505
G0 Z-6.9604
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 19: left root 6)
G0 X-2.0 Y-13.7442
G0 Z-7.5702
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 20: left root 4)
M5
(turn the crank 10 holes on the 18 circle, the gear's top toward -Y,)
(to -15.5000 deg.)
(GEAR AT -15.5000 DEG)
M0
S3000 M3
G0 X-2.0 Y-17.7542
G0 Z-8.6074
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 21: left root 1)
G0 X-2.0 Y-17.8537
G0 Z-8.759
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 22: left root 2)
G0 X-2.0 Y-18.0525
G0 Z-8.9686
G1 X31.0
G0 X32.0
G0 Z5.9457
M5
M2
