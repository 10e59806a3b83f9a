(40-facets.nc: both flanks as flat facets, and the root beside them)
(Job: Cider mill, drum gear, brazed tooth)
(Job file's fingerprint: 83f671f73041)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level, come to)
(it with the gear's top going toward -Y, so that the head's backlash)
(lies that way)
(Units: mm, mm/min)
(Tool T1: end10, 10.000 mm end mill, stick-out 40.000 mm)
(Tool T2: end4, 4.000 mm end mill, stick-out 32.000 mm)
(Tool T3: end2, 2.000 mm end mill, stick-out 28.000 mm)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(A built-up tooth, brazed: the casting is cold, and was heated and)
(cooled slowly as a whole. Stress left in it may crack it in the cut.)
(Look with penetrant for cracks beside the bead, in root, rim and)
(web. A crack: do not cut.)
(Iron at the joint may be chilled hard: carbide, and a file tried on)
(it first. Where a file slips off, grind.)
(The bead stands out nowhere more than: flanks 1.800 mm, tip 2.200)
(mm, faces 1.500 mm. Dress down what does, and all beyond the middle)
(of the spaces beside it, on the sound teeth and under the root on)
(the faces.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 23.5)
G17 G40 G49 G54 G80 G90 G94
G21
(facets)
(T1 end10, 10.000 mm end mill, stick-out 40.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head. It need not be if it)
(stands in the spindle as 30-flush.nc left it and nothing was moved)
M0
S2060 M3
G0 Z5.8015
(Pass 1: right facet 1)
M5
(From the gap at top dead centre: turn the crank 2 turns and 36 holes)
(on the 66 circle, the gear's top toward +Y, to 22.9091 deg. Go half)
(a turn of the crank beyond and come back to it, so that the backlash)
(lies as before. Lock its spindle.)
(GEAR AT 22.9091 DEG)
M0
S2060 M3
G0 X42.0 Y42.178
G0 Z-10.0279
G1 X-1.0 F400
G0 X-6.0
G0 Z5.8015
(Pass 2: right facet 2)
M5
(turn the crank 34 holes on the 66 circle, the gear's top toward -Y,)
(to 18.2727 deg. Lock its spindle.)
(GEAR AT 18.2727 DEG)
M0
S2060 M3
G0 X42.0 Y35.4865
G0 Z-8.1125
G1 X-1.0
G0 X-6.0
G0 Z5.8015
(Pass 3: left facet 3)
M5
(turn the crank 3 turns and 31 holes on the 66 circle, the gear's top)
(toward -Y, to -12.9545 deg. Lock its spindle.)
(GEAR AT -12.9545 DEG)
M0
S2060 M3
G0 Y-27.811
G0 Z-4.7901
G1 X37.0
G0 X42.0
G0 Z5.8015
(Pass 4: left facet 2)
M5
(turn the crank 39 holes on the 66 circle, the gear's top toward -Y,)
(to -18.2727 deg. Lock its spindle.)
(GEAR AT -18.2727 DEG)
M0
S2060 M3
G0 X-6.0 Y-35.4865
G0 Z-8.1125
G1 X37.0
G0 X42.0
G0 Z5.8015
(Pass 5: left facet 1)
M5
(turn the crank 34 holes on the 66 circle, the gear's top toward -Y,)
(to -22.9091 deg. Lock its spindle.)
(GEAR AT -22.9091 DEG)
M0
S2060 M3
G0 X-6.0 Y-42.178
G0 Z-10.0279
G0 X-3.0
G1 X37.0
G0 X42.0
G0 Z5.8015
M5
(facets)
(turn the crank 2 turns and 36 holes on the 66 circle, the gear's top)
(toward +Y, to 0.0000 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 0.0000 DEG)
M0
(T2 end4, 4.000 mm end mill, stick-out 32.000 mm)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S4000 M3
G0 Z5.8015
(Pass 6: right facet 2)
M5
(turn the crank 2 turns and 2 holes on the 66 circle, the gear's top)
(toward +Y, to 18.2727 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 18.2727 DEG)
M0
S4000 M3
G0 X39.0 Y32.4865
G0 Z-9.9102
G1 X-1.0 F250
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.8015
G0 X39.0
G0 Z-9.9102
G0 X38.0
G1 X-1.0
G0 X-3.0
G0 Z5.8015
(Pass 7: right root 2)
G0 Y32.5044
G0 Z-11.5251
G1 X37.0
G0 X39.0
G0 Z-13.14
G1 X-1.0
G0 X-3.0
G0 Z5.8015
(Pass 8: right facet 3)
M5
(turn the crank 39 holes on the 66 circle, the gear's top toward -Y,)
(to 12.9545 deg. Lock its spindle.)
(GEAR AT 12.9545 DEG)
M0
S4000 M3
G0 X39.0 Y24.811
G0 Z-10.317
G1 X-1.0
G0 X-3.0
G0 Z5.8015
(Pass 9: right root 1)
G0 X39.0 Y24.8769
G0 Z-10.6104
G1 X-1.0
G0 X-3.0
G0 Z5.8015
(Pass 10: left facet 3)
M5
(turn the crank 2 turns and 58 holes on the 66 circle, the gear's top)
(toward -Y, to -12.9545 deg. Lock its spindle.)
(GEAR AT -12.9545 DEG)
M0
S4000 M3
G0 Y-24.811
G0 Z-7.0976
G1 X37.0
G0 X39.0
G0 Z-8.7073
G1 X-1.0
G0 X-3.0
G0 Z-10.317
G1 X37.0
G0 X39.0
(the same cut once more: the cutter sprang away)
G0 Z5.8015
G0 X-3.0
G0 Z-10.317
G0 X-2.0
G1 X37.0
G0 X39.0
G0 Z5.8015
(Pass 11: left root 1)
G0 X-3.0 Y-24.8769
G0 Z-10.6104
G1 X37.0
G0 X39.0
G0 Z5.8015
(Pass 12: left facet 2)
M5
(turn the crank 39 holes on the 66 circle, the gear's top toward -Y,)
(to -18.2727 deg. Lock its spindle.)
(GEAR AT -18.2727 DEG)
M0
S4000 M3
G0 X-3.0 Y-32.4865
G0 Z-9.9102
G0 X-2.0
G1 X37.0
G0 X39.0
G0 Z5.8015
(Pass 13: left root 2)
G0 X-3.0 Y-32.5044
G0 Z-13.14
G1 X37.0
G0 X39.0
G0 Z5.8015
M5
(facets)
(turn the crank 2 turns and 2 holes on the 66 circle, the gear's top)
(toward +Y, to 0.0000 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 0.0000 DEG)
M0
(T3 end2, 2.000 mm end mill, stick-out 28.000 mm)
T3 M6
(Touch off the length of T3, Z0 as at the head)
M0
S4000 M3
G0 Z5.8015
(Pass 14: right root 9)
M5
(turn the crank 2 turns and 2 holes on the 66 circle, the gear's top)
(toward +Y, to 18.2727 deg. Go half a turn of the crank beyond and)
(come back to it, so that the backlash lies as before. Lock its)
(spindle.)
(GEAR AT 18.2727 DEG)
M0
S4000 M3
G0 X-2.0 Y32.1925
G0 Z-13.7508
G1 X37.0 F64
G0 X38.0
G0 Z-14.3363
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 15: right root 6)
G0 X38.0 Y32.3891
G0 Z-14.4206
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 16: right root 4)
M5
(turn the crank 39 holes on the 66 circle, the gear's top toward -Y,)
(to 12.9545 deg. Lock its spindle.)
(GEAR AT 12.9545 DEG)
M0
S4000 M3
G0 X38.0 Y23.9765
G0 Z-10.8762
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 17: right root 10)
M5
(turn the crank 6 holes on the 66 circle, the gear's top toward -Y,)
(to 12.1364 deg. Lock its spindle.)
(GEAR AT 12.1364 DEG)
M0
S4000 M3
G0 X38.0 Y23.5091
G0 Z-11.3105
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 18: right root 2)
M5
(turn the crank 19 holes on the 66 circle, the gear's top toward -Y,)
(to 9.5455 deg. Lock its spindle.)
(GEAR AT 9.5455 DEG)
M0
S4000 M3
G0 X38.0 Y19.2873
G0 Z-9.8627
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 19: right root 5)
G0 X38.0 Y19.9818
G0 Z-10.4276
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 20: right root 8)
M5
(turn the crank 19 holes on the 66 circle, the gear's top toward -Y,)
(to 6.9545 deg. Lock its spindle.)
(GEAR AT 6.9545 DEG)
M0
S4000 M3
G0 X38.0 Y15.5233
G0 Z-9.0306
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 21: left root 3)
M5
(turn the crank 7 holes on the 66 circle, the gear's top toward -Y,)
(to 6.0000 deg. Lock its spindle.)
(GEAR AT 6.0000 DEG)
M0
S4000 M3
G0 X38.0 Y3.0802
G0 Z-7.5164
G1 X-1.0
G0 X-2.0
G0 Z-8.0239
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 22: left root 11)
G0 X-2.0 Y2.9828
G0 Z-8.0849
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 23: left root 1)
G0 X-2.0 Y2.8855
G0 Z-8.1173
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 24: right root 7)
M5
(turn the crank 31 holes on the 66 circle, the gear's top toward -Y,)
(to 1.7727 deg. Lock its spindle.)
(GEAR AT 1.7727 DEG)
M0
S4000 M3
G0 Y8.5845
G0 Z-8.4894
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 25: left root 7)
M5
(turn the crank 26 holes on the 66 circle, the gear's top toward -Y,)
(to -1.7727 deg. Lock its spindle.)
(GEAR AT -1.7727 DEG)
M0
S4000 M3
G0 Y-8.5845
G0 Z-8.4894
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 26: right root 3)
M5
(turn the crank 31 holes on the 66 circle, the gear's top toward -Y,)
(to -6.0000 deg. Lock its spindle.)
(GEAR AT -6.0000 DEG)
M0
S4000 M3
G0 Y-3.0802
G0 Z-8.0239
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 27: right root 11)
G0 X38.0 Y-2.9828
G0 Z-8.0849
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 28: right root 1)
G0 X38.0 Y-2.8855
G0 Z-8.1173
G1 X-1.0
G0 X-2.0
G0 Z5.8015
(Pass 29: left root 8)
M5
(turn the crank 7 holes on the 66 circle, the gear's top toward -Y,)
(to -6.9545 deg. Lock its spindle.)
(GEAR AT -6.9545 DEG)
M0
S4000 M3
G0 Y-15.5233
G0 Z-9.0306
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 30: left root 2)
M5
(turn the crank 19 holes on the 66 circle, the gear's top toward -Y,)
(to -9.5455 deg. Lock its spindle.)
(GEAR AT -9.5455 DEG)
M0
S4000 M3
G0 X-2.0 Y-19.2873
G0 Z-9.8627
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 31: left root 5)
G0 X-2.0 Y-19.9818
G0 Z-10.4276
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 32: left root 10)
M5
(turn the crank 19 holes on the 66 circle, the gear's top toward -Y,)
(to -12.1364 deg. Lock its spindle.)
(GEAR AT -12.1364 DEG)
M0
S4000 M3
G0 X-2.0 Y-23.5091
G0 Z-11.3105
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 33: left root 4)
M5
(turn the crank 6 holes on the 66 circle, the gear's top toward -Y,)
(to -12.9545 deg. Lock its spindle.)
(GEAR AT -12.9545 DEG)
M0
S4000 M3
G0 X-2.0 Y-23.9765
G0 Z-10.8762
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 34: left root 9)
M5
(turn the crank 39 holes on the 66 circle, the gear's top toward -Y,)
(to -18.2727 deg. Lock its spindle.)
(GEAR AT -18.2727 DEG)
M0
S4000 M3
G0 X-2.0 Y-32.1925
G0 Z-14.3363
G1 X37.0
G0 X38.0
G0 Z5.8015
(Pass 35: left root 6)
G0 X-2.0 Y-32.3891
G0 Z-14.4206
G1 X37.0
G0 X38.0
G0 Z5.8015
M5
M2
