(30-flush.nc: end faces and tip of the insert down to the gear)
(Job: Lathe back gear, 24 teeth)
(Job file's fingerprint: eba905e23055)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: inch, inch/min)
(Tool T1: end6, 0.2500 in end mill, stick-out 1.2500 in)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(The adhesive has cured: two days [common practice]. Find the gap)
(again by touching both neighbours.)
(The cutter works beside the faces as deep as the dovetail: nothing)
(of hub, arbor or clamp may stand there.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 4.2)
G17 G40 G49 G54 G80 G90 G94
G20
(ends and tip)
(T1 end6, 0.2500 in end mill, stick-out 1.2500 in)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1220 M3
G0 Z0.34554
(Pass 1: tip facet 1 of 3)
G0 A0.0
G0 X-0.20374 Y-0.13091
G0 Z0.05656
G1 X1.57874 F4.724
G0 X1.70374
G0 Y0.0
G1 X-0.07874
G0 X-0.20374
G0 Y0.13091
G1 X1.57874
G0 X1.70374
G0 Z0.34554
(Pass 2: tip facet 2 of 3)
G0 A-1.0007
G0 Y0.10115
G0 Z0.05656
G1 X-0.07874
G0 X-0.20374
G0 Z0.34554
(Pass 3: tip facet 3 of 3)
G0 A1.0007
G0 Y-0.10115
G0 Z0.05656
G1 X1.57874
G0 X1.70374
G0 Z0.34554
(Pass 4: front end)
G0 A0.0
G0 X-0.20453 Y0.3892
G0 Z-0.55762
G1 X-0.12579
(front end level 1)
G1 Y-0.29528
(the same cut once more: the cutter sprang away)
G0 X-0.20453
G0 Y0.3892
G1 X-0.12579
(front end level 1)
G1 Y-0.29528
G0 Z0.34554
(Pass 5: back end)
G0 X1.70453 Y-0.3892
G0 Z-0.55762
G1 X1.62579
(back end level 1)
G1 Y0.29528
(the same cut once more: the cutter sprang away)
G0 X1.70453
G0 Y-0.3892
G1 X1.62579
(back end level 1)
G1 Y0.29528
G0 Z0.34554
M5
M2
