(40-facets.nc: both flanks as flat facets, and the root beside them)
(Job: Lathe back gear, 24 teeth)
(Job file's fingerprint: eba905e23055)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: inch, inch/min)
(Tool T1: end6, 0.2500 in end mill, stick-out 1.2500 in)
(Tool T2: end5, 0.1875 in end mill, stick-out 1.2500 in)
(Tool T3: end3, 0.1250 in end mill, stick-out 1.2500 in)
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
(Minutes expected, stops not counted: 19.5)
G17 G40 G49 G54 G80 G90 G94
G20
(facets)
(T1 end6, 0.2500 in end mill, stick-out 1.2500 in)
T1 M6
(Touch off the length of T1, Z0 as at the head. It need not be if it)
(stands in the spindle as 30-flush.nc left it and nothing was moved)
M0
S1220 M3
G0 Z0.26521
(Pass 1: right facet 1)
G0 A25.7621
G0 X1.66437 Y1.0638
G0 Z-0.25913
G1 X-0.03937 F4.724
G0 X-0.16437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X1.66437
G0 Z-0.25913
G0 X1.59843
G1 X-0.03937
G0 X-0.16437
G0 Z0.26521
(Pass 2: right facet 2)
G0 A20.2754
G0 X1.66437 Y0.89375
G0 Z-0.2549
G1 X-0.03937
G0 X-0.16437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X1.66437
G0 Z-0.2549
G0 X1.59843
G1 X-0.03937
G0 X-0.16437
G0 Z0.26521
(Pass 3: right facet 3)
G0 A14.0974
G0 X1.66437 Y0.70227
G0 Z-0.24944
G1 X-0.03937
G0 X-0.16437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X1.66437
G0 Z-0.24944
G0 X1.59843
G1 X-0.03937
G0 X-0.16437
G0 Z0.26521
(Pass 4: left facet 4)
G0 A-6.6454
G0 X1.66437 Y-0.47131
G0 Z-0.06955
G1 X-0.03937
G0 X-0.16437
G0 Z-0.16753
G1 X1.53937
G0 X1.66437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X-0.16437
G0 Z-0.16753
G0 X-0.09843
G1 X1.53937
G0 X1.66437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X-0.16437
G0 Z-0.16753
G0 X-0.07874
G1 X1.53937
G0 X1.66437
G0 Z0.26521
(Pass 5: left facet 3)
G0 A-14.0974
G0 Y-0.70227
G0 Z-0.13771
G1 X-0.03937
G0 X-0.16437
G0 Z-0.24944
G1 X1.53937
G0 X1.66437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X-0.16437
G0 Z-0.24944
G0 X-0.07874
G1 X1.53937
G0 X1.66437
G0 Z0.26521
(Pass 6: left facet 2)
G0 A-20.2754
G0 X-0.16437 Y-0.89375
G0 Z-0.2549
G0 X-0.11811
G1 X1.53937
G0 X1.66437
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X-0.16437
G0 Z-0.2549
G0 X-0.07874
G1 X1.53937
G0 X1.66437
G0 Z0.26521
(Pass 7: left facet 1)
G0 A-25.7621
G0 X-0.16437 Y-1.0638
G0 Z-0.25913
G0 X-0.09843
G1 X1.53937
G0 X1.66437
G0 Z0.26521
M5
(facets)
G0 A0.0
(T2 end5, 0.1875 in end mill, stick-out 1.2500 in)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S1620 M3
G0 Z0.26521
(Pass 8: right facet 4)
G0 A6.6454
G0 X1.63312 Y0.44006
G0 Z-0.25585
G1 X-0.03937 F4.724
G0 X-0.13312
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X1.63312
G0 Z-0.25585
G0 X1.57874
G1 X-0.03937
G0 X-0.13312
G0 Z0.26521
(Pass 9: left facet 4)
G0 A-6.6454
G0 Y-0.44006
G0 Z-0.25585
G1 X1.53937
G0 X1.63312
(the same cut once more: the cutter sprang away)
G0 Z0.26521
G0 X-0.13312
G0 Z-0.25585
G0 X-0.07874
G1 X1.53937
G0 X1.63312
G0 Z0.26521
(Pass 10: left root 1)
G0 A-14.0974
G0 X-0.13312 Y-0.67451
G0 Z-0.32192
G1 X1.53937
G0 X1.63312
G0 Z0.26521
M5
(facets)
G0 A0.0
(T3 end3, 0.1250 in end mill, stick-out 1.2500 in)
T3 M6
(Touch off the length of T3, Z0 as at the head)
M0
S3000 M3
G0 Z0.26521
(Pass 11: right root 1)
G0 A14.0974
G0 X-0.10187 Y0.64326
G0 Z-0.35232
G1 X1.53937 F5.906
G0 X1.60187
G0 Z-0.3876
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 12: right root 7)
G0 X1.60187 Y0.64712
G0 Z-0.39254
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 13: right root 2)
G0 X1.60187 Y0.65098
G0 Z-0.39673
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 14: right root 5)
G0 A6.6454
G0 X1.60187 Y0.41089
G0 Z-0.28896
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 15: right root 3)
G0 X1.60187 Y0.41475
G0 Z-0.30075
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 16: right root 9)
G0 X1.60187 Y0.42632
G0 Z-0.32099
G0 X1.57874
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 17: right root 8)
G0 A4.3382
G0 X1.60187 Y0.34842
G0 Z-0.29208
G0 X1.57874
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 18: right root 4)
G0 X1.60187 Y0.35229
G0 Z-0.29887
G0 X1.57874
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 19: right root 6)
G0 X1.60187 Y0.35617
G0 Z-0.30444
G0 X1.57874
G1 X-0.03937
G0 X-0.10187
G0 Z0.26521
(Pass 20: left root 8)
G0 A-4.3382
G0 X1.60187 Y-0.34842
G0 Z-0.26654
G1 X-0.03937
G0 X-0.10187
G0 Z-0.29208
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 21: left root 4)
G0 X-0.10187 Y-0.35229
G0 Z-0.29887
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 22: left root 6)
G0 X-0.10187 Y-0.35617
G0 Z-0.30444
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 23: left root 5)
G0 A-6.6454
G0 X-0.10187 Y-0.41089
G0 Z-0.28896
G0 X-0.07874
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 24: left root 3)
G0 X-0.10187 Y-0.41475
G0 Z-0.30075
G0 X-0.07874
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 25: left root 9)
G0 X-0.10187 Y-0.42632
G0 Z-0.32099
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 26: left root 1)
G0 A-14.0974
G0 X-0.10187 Y-0.64326
G0 Z-0.3876
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 27: left root 7)
G0 X-0.10187 Y-0.64712
G0 Z-0.39254
G1 X1.53937
G0 X1.60187
G0 Z0.26521
(Pass 28: left root 2)
G0 X-0.10187 Y-0.65098
G0 Z-0.39673
G1 X1.53937
G0 X1.60187
G0 Z0.26521
M5
M2
