(10-slot.nc: clear the stub, mill the seat, cut the slot and its)
(dovetail)
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
(Tool T3: dove, 4.200 mm dovetail cutter, stick-out 26.000 mm)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(Look for cracks in rim, web and root first: if there is any, do not)
(go on.)
(The stub may stand at most Z-3.069 mm: bring a still cutter over its)
(highest place. Higher: measure it, give slot.stub and make again.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 26.2)
G17 G40 G49 G54 G80 G90 G94
G21
(stub and seat)
(T1 end4, 4.000 mm end mill, stick-out 24.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1940 M3
G0 Z5.6809
(Pass 1: seat)
(GEAR AT 0.0000 DEG)
G0 X-3.0 Y-2.25
G0 Z-4.6691
(seat row 1)
G1 X31.0 F99
G0 X33.0
G0 Z-6.2691
(seat row 1)
G1 X-1.0
G0 X-3.0
G0 Y1.35 Z-4.6691
(seat row 2)
G1 X31.0
G0 X33.0
G0 Z-6.2691
(seat row 2)
G1 X-1.0
G0 X-3.0
G0 Y2.25
(seat row 3)
G1 X31.0
G0 X33.0
G0 Z5.6809
(Pass 2: slot)
G0 X-3.0 Y-0.05
G0 Z-8.0691
(slot row 1)
G1 X31.0
G0 X33.0
G0 Z-9.8691
(slot row 1)
G1 X-1.0
G0 X-3.0
G0 Z-11.6691
(slot row 1)
G1 X31.0
G0 X33.0
G0 Y0.05
(slot row 2)
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.6809
(Pass 3: wall right)
G0 Y0.15
G0 Z-11.6691
G0 X-2.0
G1 X31.0
G0 X33.0
G0 Z5.6809
(Pass 4: wall left)
G0 Y-0.15
G0 Z-11.6691
G0 X32.0
G1 X-1.0
G0 X-3.0
G0 Z5.6809
M5
(dovetail)
(T3 dove, 4.200 mm dovetail cutter, stick-out 26.000 mm)
T3 M6
(Touch off the length of T3, Z0 as at the head)
M0
S920 M3
G0 Z5.6809
(Pass 5: dovetail right)
G0 X33.1 Y0.2277
G0 Z-11.6691
(dovetail right cut 1 of 4)
G0 X32.5
G1 X-1.0 F21
G0 X-3.1
G0 Y0.4055
(dovetail right cut 2 of 4)
G0 X-2.5
G1 X31.0
G0 X33.1
G0 Y0.5832
(dovetail right cut 3 of 4)
G0 X32.5
G1 X-1.0
G0 X-3.1
G0 Y0.7609
(dovetail right cut 4 of 4)
G0 X-2.5
G1 X31.0
G0 X33.1
(the same cut once more: the cutter sprang away)
G0 Z5.6809
G0 X-3.1
G0 Z-11.6691
G0 X-2.0
G1 X31.0
G0 X33.1
(the same cut once more: the cutter sprang away)
G0 Z5.6809
G0 X-3.1
G0 Z-11.6691
G0 X-2.0
G1 X31.0
G0 X33.1
G0 Z5.6809
(Pass 6: dovetail left)
G0 X-3.1 Y-0.2277
G0 Z-11.6691
(dovetail left cut 1 of 4)
G0 X-2.5
G1 X31.0
G0 X33.1
G0 Y-0.4055
(dovetail left cut 2 of 4)
G0 X32.5
G1 X-1.0
G0 X-3.1
G0 Y-0.5832
(dovetail left cut 3 of 4)
G0 X-2.5
G1 X31.0
G0 X33.1
G0 Y-0.7609
(dovetail left cut 4 of 4)
G0 X32.5
G1 X-1.0
G0 X-3.1
(the same cut once more: the cutter sprang away)
G0 Z5.6809
G0 X33.1
G0 Z-11.6691
G0 X32.0
G1 X-1.0
G0 X-3.1
(the same cut once more: the cutter sprang away)
G0 Z5.6809
G0 X33.1
G0 Z-11.6691
G0 X32.0
G1 X-1.0
G0 X-3.1
G0 Z5.6809
M5
M2
