(40-facets.nc: both flanks as flat facets, and the root beside them)
(Job: Shaper gear, dividing head)
(Job file's fingerprint: 56d40da3bb81)
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
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 23.1)
G17 G40 G49 G54 G80 G90 G94
G21
(facets)
(T1 end4, 4.000 mm end mill, stick-out 24.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head. It need not be if it)
(stands in the spindle as 30-flush.nc left it and nothing was moved)
M0
S1940 M3
G0 Z5.9457
(Pass 1: right facet 1)
M5
(From the gap at top dead centre: turn the crank 2 turns and 28 holes)
(on the 39 circle, the gear's top toward +Y, to 24.4615 deg. Go half)
(a turn of the crank beyond and come back to it, so that the backlash)
(lies as before. Lock its spindle.)
(GEAR AT 24.4615 DEG)
M0
S1940 M3
G0 X33.0 Y26.6345
G0 Z-6.2935
G1 X-1.0 F120
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2935
G0 X32.0
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2935
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 2: right facet 2)
M5
(turn the crank 14 holes on the 39 circle, the gear's top toward -Y,)
(to 21.2308 deg. Lock its spindle.)
(GEAR AT 21.2308 DEG)
M0
S1940 M3
G0 X33.0 Y23.7732
G0 Z-6.2527
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2527
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.2527
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 3: right facet 3)
M5
(turn the crank 15 holes on the 39 circle, the gear's top toward -Y,)
(to 17.7692 deg. Lock its spindle.)
(GEAR AT 17.7692 DEG)
M0
S1940 M3
G0 X33.0 Y20.7075
G0 Z-6.1935
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.1935
G0 X32.0
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.1935
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 4: right facet 4)
M5
(turn the crank 16 holes on the 39 circle, the gear's top toward -Y,)
(to 14.0769 deg. Lock its spindle.)
(GEAR AT 14.0769 DEG)
M0
S1940 M3
G0 X33.0 Y17.4375
G0 Z-6.141
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.141
G0 X32.0
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X33.0
G0 Z-6.141
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 5: right facet 5)
M5
(turn the crank 18 holes on the 39 circle, the gear's top toward -Y,)
(to 9.9231 deg. Lock its spindle.)
(GEAR AT 9.9231 DEG)
M0
S1940 M3
G0 X33.0 Y13.7587
G0 Z-5.0974
G1 X-1.0
G0 X-3.0
G0 Z5.9457
(Pass 6: left facet 5)
M5
(turn the crank 2 turns and 8 holes on the 39 circle, the gear's top)
(toward -Y, to -9.9231 deg. Lock its spindle.)
(GEAR AT -9.9231 DEG)
M0
S1940 M3
G0 Y-13.7587
G0 Z-2.0395
G1 X31.0
G0 X33.0
G0 Z-3.5684
G1 X-1.0
G0 X-3.0
G0 Z-5.0974
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.0974
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.0974
G0 X-2.0
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-5.0974
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 7: left facet 4)
M5
(turn the crank 18 holes on the 39 circle, the gear's top toward -Y,)
(to -14.0769 deg. Lock its spindle.)
(GEAR AT -14.0769 DEG)
M0
S1940 M3
G0 X-3.0 Y-17.4375
G0 Z-6.141
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.141
G0 X-2.0
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.141
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 8: left facet 3)
M5
(turn the crank 16 holes on the 39 circle, the gear's top toward -Y,)
(to -17.7692 deg. Lock its spindle.)
(GEAR AT -17.7692 DEG)
M0
S1940 M3
G0 X-3.0 Y-20.7075
G0 Z-6.1935
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.1935
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 9: left facet 2)
M5
(turn the crank 15 holes on the 39 circle, the gear's top toward -Y,)
(to -21.2308 deg. Lock its spindle.)
(GEAR AT -21.2308 DEG)
M0
S1940 M3
G0 X-3.0 Y-23.7732
G0 Z-6.2527
G0 X-2.0
G1 X31.0
G0 X33.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-3.0
G0 Z-6.2527
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.9457
(Pass 10: left facet 1)
M5
(turn the crank 14 holes on the 39 circle, the gear's top toward -Y,)
(to -24.4615 deg. Lock its spindle.)
(GEAR AT -24.4615 DEG)
M0
S1940 M3
G0 X-3.0 Y-26.6345
G0 Z-6.2935
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.9457
M5
(facets)
(turn the crank 2 turns and 28 holes on the 39 circle, the gear's top)
(toward +Y, to 0.0000 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 0.0000 DEG)
M0
(T2 end2, 2.000 mm end mill, stick-out 24.000 mm)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S3000 M3
G0 Z5.9457
(Pass 11: right root 3)
M5
(turn the crank 1 turn and 22 holes on the 39 circle, the gear's top)
(toward +Y, to 14.0769 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 14.0769 DEG)
M0
S3000 M3
G0 X-2.0 Y16.4428
G0 Z-7.0436
G1 X31.0 F48
G0 X32.0
G0 Z-7.9461
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 12: right root 4)
G0 X32.0 Y16.5416
G0 Z-8.1668
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 13: right root 5)
G0 X32.0 Y16.7393
G0 Z-8.4383
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 14: right root 2)
G0 X32.0 Y16.8381
G0 Z-8.5322
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 15: right facet 5)
M5
(turn the crank 18 holes on the 39 circle, the gear's top toward -Y,)
(to 9.9231 deg. Lock its spindle.)
(GEAR AT 9.9231 DEG)
M0
S3000 M3
G0 X32.0 Y12.7587
G0 Z-6.3893
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 16: right root 1)
M5
(turn the crank 3 holes on the 39 circle, the gear's top toward -Y,)
(to 9.2308 deg. Lock its spindle.)
(GEAR AT 9.2308 DEG)
M0
S3000 M3
G0 X32.0 Y12.5324
G0 Z-7.1737
G1 X-1.0
G0 X-2.0
G0 Z5.9457
(Pass 17: left root 1)
M5
(turn the crank 2 turns and 2 holes on the 39 circle, the gear's top)
(toward -Y, to -9.2308 deg. Lock its spindle.)
(GEAR AT -9.2308 DEG)
M0
S3000 M3
G0 Y-12.5324
G0 Z-5.6859
G1 X31.0
G0 X32.0
G0 Z-6.4298
G1 X-1.0
G0 X-2.0
G0 Z-7.1737
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 18: left facet 5)
M5
(turn the crank 3 holes on the 39 circle, the gear's top toward -Y,)
(to -9.9231 deg. Lock its spindle.)
(GEAR AT -9.9231 DEG)
M0
S3000 M3
G0 X-2.0 Y-12.7587
G0 Z-6.3893
G1 X31.0
G0 X32.0
(the same cut once more: the cutter sprang away)
G0 Z5.9457
G0 X-2.0
G0 Z-6.3893
G0 X-1.5
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 19: left root 3)
M5
(turn the crank 18 holes on the 39 circle, the gear's top toward -Y,)
(to -14.0769 deg. Lock its spindle.)
(GEAR AT -14.0769 DEG)
M0
S3000 M3
G0 X-2.0 Y-16.4428
G0 Z-7.9461
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 20: left root 4)
G0 X-2.0 Y-16.5416
G0 Z-8.1668
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 21: left root 5)
G0 X-2.0 Y-16.7393
G0 Z-8.4383
G1 X31.0
G0 X32.0
G0 Z5.9457
(Pass 22: left root 2)
G0 X-2.0 Y-16.8381
G0 Z-8.5322
G1 X31.0
G0 X32.0
G0 Z5.9457
M5
M2
