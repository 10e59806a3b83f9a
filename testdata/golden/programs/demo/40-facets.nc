(40-facets.nc: both flanks as flat facets, and the root beside them)
(Job: Proof press, roller gear)
(Job file's fingerprint: 07bcfbf0e338)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: mm, mm/min)
(Tool T1: end6, 6.000 mm end mill, stick-out 26.000 mm)
(Tool T2: end4, 4.000 mm end mill, stick-out 24.000 mm)
(Tool T3: end2, 2.000 mm end mill, stick-out 24.000 mm)
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
(Minutes expected, stops not counted: 16.6)
G17 G40 G49 G54 G80 G90 G94
G21
(facets)
(T1 end6, 6.000 mm end mill, stick-out 26.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head. It need not be if it)
(stands in the spindle as 30-flush.nc left it and nothing was moved)
M0
S1290 M3
G0 Z5.5807
(Pass 1: right facet 1)
G0 A18.4468
G0 X36.0 Y32.5563
G0 Z-6.3417
G1 X-1.0 F120
G0 X-4.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X36.0
G0 Z-6.3417
G0 X34.0
G1 X-1.0
G0 X-4.0
G0 Z5.5807
(Pass 2: right facet 2)
G0 A15.0567
G0 X36.0 Y27.6457
G0 Z-6.1081
G1 X-1.0
G0 X-4.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X36.0
G0 Z-6.1081
G0 X34.0
G1 X-1.0
G0 X-4.0
G0 Z5.5807
(Pass 3: left facet 4)
G0 A-6.8765
G0 Y-15.7965
G0 Z-2.2944
G1 X33.0
G0 X36.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X-4.0
G0 Z-2.2944
G0 X-2.0
G1 X33.0
G0 X36.0
G0 Z5.5807
(Pass 4: left facet 3)
G0 A-11.2874
G0 X-4.0 Y-22.1857
G0 Z-4.2439
G1 X33.0
G0 X36.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X-4.0
G0 Z-4.2439
G0 X-2.0
G1 X33.0
G0 X36.0
G0 Z5.5807
(Pass 5: left facet 2)
G0 A-15.0567
G0 Y-27.6457
G0 Z-4.5752
G1 X-1.0
G0 X-4.0
G0 Z-6.1081
G1 X33.0
G0 X36.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X-4.0
G0 Z-6.1081
G0 X-2.0
G1 X33.0
G0 X36.0
G0 Z5.5807
(Pass 6: left facet 1)
G0 A-18.4468
G0 X-4.0 Y-32.5563
G0 Z-6.3417
G0 X-2.5
G1 X33.0
G0 X36.0
G0 Z5.5807
M5
(facets)
G0 A0.0
(T2 end4, 4.000 mm end mill, stick-out 24.000 mm)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S5000 M3
G0 Z5.5807
(Pass 7: right facet 2)
G0 A15.0567
G0 X35.0 Y26.6457
G0 Z-6.2666
G1 X-1.0 F320
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X35.0
G0 Z-6.2666
G0 X34.0
G1 X-1.0
G0 X-3.0
G0 Z5.5807
(Pass 8: right facet 3)
G0 A11.2874
G0 X35.0 Y21.1857
G0 Z-6.1723
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X35.0
G0 Z-6.1723
G0 X34.0
G1 X-1.0
G0 X-3.0
G0 Z5.5807
(Pass 9: right facet 4)
G0 A6.8765
G0 X35.0 Y14.7965
G0 Z-6.2376
G1 X-1.0
G0 X-3.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X35.0
G0 Z-6.2376
G0 X34.0
G1 X-1.0
G0 X-3.0
G0 Z5.5807
(Pass 10: left facet 4)
G0 A-6.8765
G0 X35.0 Y-14.7965
G0 Z-4.5737
G1 X-1.0
G0 X-3.0
G0 Z-6.2376
G1 X33.0
G0 X35.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X-3.0
G0 Z-6.2376
G0 X-2.0
G1 X33.0
G0 X35.0
(the same cut once more: the cutter sprang away)
G0 Z5.5807
G0 X-3.0
G0 Z-6.2376
G0 X-2.0
G1 X33.0
G0 X35.0
G0 Z5.5807
(Pass 11: left facet 3)
G0 A-11.2874
G0 X-3.0 Y-21.1857
G0 Z-6.1723
G0 X-2.0
G1 X33.0
G0 X35.0
G0 Z5.5807
(Pass 12: left facet 2)
G0 A-15.0567
G0 X-3.0 Y-26.6457
G0 Z-6.2666
G0 X-2.0
G1 X33.0
G0 X35.0
G0 Z5.5807
M5
(facets)
G0 A0.0
(T3 end2, 2.000 mm end mill, stick-out 24.000 mm)
T3 M6
(Touch off the length of T3, Z0 as at the head)
M0
S5000 M3
G0 Z5.5807
(Pass 13: right root 3)
G0 A6.8765
G0 X-2.0 Y13.8773
G0 Z-6.5816
G1 X33.0 F80
G0 X34.0
G0 Z-6.9255
G1 X-1.0
G0 X-2.0
G0 Z5.5807
(Pass 14: left root 5)
G0 A5.3387
G0 Y3.37
G0 Z-5.526
G1 X33.0
G0 X34.0
G0 Z-5.946
G1 X-1.0
G0 X-2.0
G0 Z-6.366
G1 X33.0
G0 X34.0
G0 Z5.5807
(Pass 15: right root 4)
G0 A5.1315
G0 Y11.4644
G0 Z-6.7338
G1 X-1.0
G0 X-2.0
G0 Z5.5807
(Pass 16: right root 1)
G0 X34.0 Y11.5634
G0 Z-6.8764
G1 X-1.0
G0 X-2.0
G0 Z5.5807
(Pass 17: left root 2)
G0 A3.5937
G0 Y0.7211
G0 Z-6.3546
G1 X33.0
G0 X34.0
G0 Z5.5807
(Pass 18: right root 2)
G0 A-3.5937
G0 Y-0.7211
G0 Z-6.3546
G1 X-1.0
G0 X-2.0
G0 Z5.5807
(Pass 19: left root 4)
G0 A-5.1315
G0 Y-11.4644
G0 Z-6.7338
G1 X33.0
G0 X34.0
G0 Z5.5807
(Pass 20: left root 1)
G0 X-2.0 Y-11.5634
G0 Z-6.8764
G1 X33.0
G0 X34.0
G0 Z5.5807
(Pass 21: right root 5)
G0 A-5.3387
G0 Y-3.37
G0 Z-6.366
G1 X-1.0
G0 X-2.0
G0 Z5.5807
(Pass 22: left root 3)
G0 A-6.8765
G0 Y-13.8773
G0 Z-6.9255
G1 X33.0
G0 X34.0
G0 Z5.5807
M5
M2
