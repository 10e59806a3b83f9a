(30-flush.nc: end faces and tip of the insert down to the gear)
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
(Minutes expected, stops not counted: 4.5)
G17 G40 G49 G54 G80 G90 G94
G21
(ends and tip)
(T1 end4, 4.000 mm end mill, stick-out 24.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1940 M3
G0 Z8.1359
(Pass 1: tip)
(GEAR AT 0.0000 DEG)
G0 X-4.0 Y-3.5
G0 Z1.7809
G1 X32.0 F120
G0 X34.0
G0 Z0.6809
G1 X-2.0
G0 X-4.0
G0 Y0.1 Z1.7809
G1 X32.0
G0 X34.0
G0 Z0.6809
G1 X-2.0
G0 X-4.0
G0 Y3.5 Z1.7809
G1 X32.0
G0 X34.0
G0 Z0.6809
G1 X-2.0
G0 X-4.0
G0 Z8.1359
(Pass 2: front end)
G0 X-4.02 Y8.2758
G0 Z-5.4941
G1 X-2.02
(front end level 1)
G1 Y-6.5
(the same cut once more: the cutter sprang away)
G0 X-4.02
G0 Y8.2758
G1 X-2.02
(front end level 1)
G1 Y-6.5
G0 X-4.02
G0 Y6.9258
G0 Z-11.6691
G1 X-2.02
(front end level 2)
G1 Y-5.15
(the same cut once more: the cutter sprang away)
G0 X-4.02
G0 Y6.9258
G1 X-2.02
(front end level 2)
G1 Y-5.15
G0 Z8.1359
(Pass 3: back end)
G0 X34.02 Y-8.2758
G0 Z-5.4941
G1 X32.02
(back end level 1)
G1 Y6.5
(the same cut once more: the cutter sprang away)
G0 X34.02
G0 Y-8.2758
G1 X32.02
(back end level 1)
G1 Y6.5
G0 X34.02
G0 Y-6.9258
G0 Z-11.6691
G1 X32.02
(back end level 2)
G1 Y5.15
(the same cut once more: the cutter sprang away)
G0 X34.02
G0 Y-6.9258
G1 X32.02
(back end level 2)
G1 Y5.15
G0 Z8.1359
M5
M2
