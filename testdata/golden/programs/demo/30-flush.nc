(30-flush.nc: end faces and tip of the insert down to the gear)
(Job: Proof press, roller gear)
(Job file's fingerprint: 07bcfbf0e338)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: mm, mm/min)
(Tool T1: end6, 6.000 mm end mill, stick-out 26.000 mm)
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
(Minutes expected, stops not counted: 3.9)
G17 G40 G49 G54 G80 G90 G94
G21
(ends and tip)
(T1 end6, 6.000 mm end mill, stick-out 26.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1290 M3
G0 Z7.8389
(Pass 1: tip facet 1 of 3)
G0 A0.0
G0 X-5.0 Y-3.0
G0 Z0.44
G1 X34.0 F120
G0 X37.0
G0 Y0.0
G1 X-2.0
G0 X-5.0
G0 Y3.0
G1 X34.0
G0 X37.0
G0 Z7.8389
(Pass 2: tip facet 2 of 3)
G0 A-0.6424
G0 Y2.2526
G0 Z0.44
G1 X-2.0
G0 X-5.0
G0 Z7.8389
(Pass 3: tip facet 3 of 3)
G0 A0.6424
G0 Y-2.2526
G0 Z0.44
G1 X34.0
G0 X37.0
G0 Z7.8389
(Pass 4: front end)
G0 A0.0
G0 X-5.02 Y9.3051
G0 Z-12.9084
G1 X-3.02
(front end level 1)
G1 Y-7.0
(the same cut once more: the cutter sprang away)
G0 X-5.02
G0 Y9.3051
G1 X-3.02
(front end level 1)
G1 Y-7.0
G0 Z7.8389
(Pass 5: back end)
G0 X37.02 Y-9.3051
G0 Z-12.9084
G1 X35.02
(back end level 1)
G1 Y7.0
(the same cut once more: the cutter sprang away)
G0 X37.02
G0 Y-9.3051
G1 X35.02
(back end level 1)
G1 Y7.0
G0 Z7.8389
M5
M2
