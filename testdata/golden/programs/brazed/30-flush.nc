(30-flush.nc: end faces and tip of the bead down to the gear)
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
(The cutter works beside the faces down to the root: nothing of hub,)
(arbor or clamp may stand there.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 1.8)
G17 G40 G49 G54 G80 G90 G94
G21
(ends and tip)
(T1 end10, 10.000 mm end mill, stick-out 40.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S2060 M3
G0 Z8.1342
(Pass 1: tip)
(GEAR AT 0.0000 DEG)
G0 X-7.5 Y0.0
G0 Z0.7439
G1 X38.5 F400
G0 X43.5
G0 Z8.1342
(Pass 2: front end)
G0 X-7.52 Y10.6385
G0 Z-8.5176
G1 X-5.02
(front end level 1)
G1 Y-6.9911
G0 Z8.1342
(Pass 3: back end)
G0 X43.52 Y-10.6385
G0 Z-8.5176
G1 X41.02
(back end level 1)
G1 Y6.9911
G0 Z8.1342
M5
M2
