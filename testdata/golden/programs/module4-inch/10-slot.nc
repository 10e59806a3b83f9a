(10-slot.nc: clear the stub, mill the seat, cut the slot and its)
(dovetail)
(Job: Lathe back gear, 24 teeth)
(Job file's fingerprint: eba905e23055)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: inch, inch/min)
(Tool T1: end6, 0.2500 in end mill, stick-out 1.2500 in)
(Tool T2: end5, 0.1875 in end mill, stick-out 1.2500 in)
(Tool T4: dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
(Tool T5: drill, 0.1875 in drill, stick-out 3.0000 in)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(Look for cracks in rim, web and root first: if there is any, do not)
(go on.)
(The stub may stand at most Z0.0566 in: bring a still cutter over its)
(highest place. Higher: measure it, give slot.stub and make again.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 42.1)
G17 G40 G49 G54 G80 G90 G94
G20
(stub and seat)
(T1 end6, 0.2500 in end mill, stick-out 1.2500 in)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1220 M3
G0 Z0.25341
(Pass 1: seat)
G0 A0.0
G0 X-0.16437 Y-0.07894
G0 Z-0.06418
(seat row 1)
G1 X1.53937 F3.898
G0 X1.66437
G0 Z-0.18491
(seat row 1)
G1 X-0.03937
G0 X-0.16437
G0 Z-0.30565
(seat row 1)
G1 X1.53937
G0 X1.66437
G0 Y0.07894 Z-0.06453
(seat row 2)
G1 X-0.03937
G0 X-0.16437
G0 Z-0.18509
(seat row 2)
G1 X1.53937
G0 X1.66437
G0 Z-0.30565
(seat row 2)
G1 X-0.03937
G0 X-0.16437
G0 Z0.25341
M5
(slot)
(T2 end5, 0.1875 in end mill, stick-out 1.2500 in)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S1620 M3
G0 Z0.25341
(Pass 2: slot)
G0 X-0.13312 Y-0.00231
G0 Z-0.38964
(slot row 1)
G1 X1.53937 F2.677
G0 X1.63312
G0 Z-0.47363
(slot row 1)
G1 X-0.03937
G0 X-0.13312
G0 Z-0.55762
(slot row 1)
G1 X1.53937
G0 X1.63312
G0 Y0.00231
(slot row 2)
G0 X1.57874
G1 X-0.03937
G0 X-0.13312
G0 Z0.25341
(Pass 3: wall right)
G0 Y0.00625
G0 Z-0.55762
G0 X-0.07874
G1 X1.53937
G0 X1.63312
G0 Z0.25341
(Pass 4: wall left)
G0 Y-0.00625
G0 Z-0.55762
G0 X1.57874
G1 X-0.03937
G0 X-0.13312
G0 Z0.25341
M5
(dovetail)
(T4 dove, 0.2000 in dovetail cutter, stick-out 1.2500 in)
T4 M6
(Touch off the length of T4, Z0 as at the head)
M0
S760 M3
G0 Z0.25341
(Pass 5: dovetail right)
G0 X-0.13937 Y0.00663
G0 Z-0.55762
(dovetail right cut 1 of 5)
G0 X-0.09843
G1 X1.53937 F0.787
G0 X1.63937
G0 Y0.01327
(dovetail right cut 2 of 5)
G0 X1.59843
G1 X-0.03937
G0 X-0.13937
G0 Y0.0199
(dovetail right cut 3 of 5)
G0 X-0.09843
G1 X1.53937
G0 X1.63937
G0 Y0.02654
(dovetail right cut 4 of 5)
G0 X1.59843
G1 X-0.03937
G0 X-0.13937
G0 Y0.03317
(dovetail right cut 5 of 5)
G0 X-0.09843
G1 X1.53937
G0 X1.63937
(the same cut once more: the cutter sprang away)
G0 Z0.25341
G0 X-0.13937
G0 Z-0.55762
G0 X-0.07874
G1 X1.53937
G0 X1.63937
(the same cut once more: the cutter sprang away)
G0 Z0.25341
G0 X-0.13937
G0 Z-0.55762
G0 X-0.07874
G1 X1.53937
G0 X1.63937
G0 Z0.25341
(Pass 6: dovetail left)
G0 Y-0.00663
G0 Z-0.55762
(dovetail left cut 1 of 5)
G0 X1.59843
G1 X-0.03937
G0 X-0.13937
G0 Y-0.01327
(dovetail left cut 2 of 5)
G0 X-0.09843
G1 X1.53937
G0 X1.63937
G0 Y-0.0199
(dovetail left cut 3 of 5)
G0 X1.59843
G1 X-0.03937
G0 X-0.13937
G0 Y-0.02654
(dovetail left cut 4 of 5)
G0 X-0.09843
G1 X1.53937
G0 X1.63937
G0 Y-0.03317
(dovetail left cut 5 of 5)
G0 X1.59843
G1 X-0.03937
G0 X-0.13937
(the same cut once more: the cutter sprang away)
G0 Z0.25341
G0 X1.63937
G0 Z-0.55762
G0 X1.57874
G1 X-0.03937
G0 X-0.13937
(the same cut once more: the cutter sprang away)
G0 Z0.25341
G0 X1.63937
G0 Z-0.55762
G0 X1.57874
G1 X-0.03937
G0 X-0.13937
G0 Z0.25341
M5
(lock holes)
(T5 drill, 0.1875 in drill, stick-out 3.0000 in)
T5 M6
(Touch off the length of T5, Z0 as at the head)
M0
S1620 M3
G0 Z0.25341
(Pass 7: lock hole 1)
G0 X0.75 Y0.0
G0 Z-0.51825
G1 Z-0.70575 F4.331
G0 Z-0.51825
G0 Z-0.69575
G1 Z-0.89325
G0 Z-0.51825
G0 Z-0.88325
G1 Z-1.08075
G0 Z-0.51825
G0 Z-1.07075
G1 Z-1.26825
G0 Z-0.51825
G0 Z-1.25825
G1 Z-1.346
G0 Z-0.51825
G0 Z0.25341
G0 X1.63312
M5
(The lock holes end 0.0197 in over the bore, where the arbor is. With)
(the gear off its arbor drill them through by hand. Clean out the)
(chips.)
M0
M2
