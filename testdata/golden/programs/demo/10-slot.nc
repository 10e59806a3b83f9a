(10-slot.nc: clear the stub, mill the seat, cut the slot and its)
(dovetail)
(Job: Proof press, roller gear)
(Job file's fingerprint: 07bcfbf0e338)
(Set-up: the gear, its axis along X, Y across, Z up)
(Zero: X0 front face of the gear [least X], Y0 middle of the gap)
(Zero: Z0 at the tips of the two level neighbours of the gap)
(Zero: A0 the gap at top dead centre, both neighbours level)
(Units: mm, mm/min)
(Tool T1: end6, 6.000 mm end mill, stick-out 26.000 mm)
(Tool T2: end4, 4.000 mm end mill, stick-out 24.000 mm)
(Tool T4: dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
(Tool T5: drill42, 4.200 mm drill, stick-out 55.000 mm)
(Gear on its arbor, axis along X, rim supported. Nothing in the way)
(of the holder.)
(Support the rim on both sides of the gap, not under the lock holes:)
(the drill comes out there, its point 1.394 mm below the rim.)
(Look for cracks in rim, web and root first: if there is any, do not)
(go on.)
(The stub may stand at most Z-3.908 mm: bring a still cutter over its)
(highest place. Higher: measure it, give slot.stub and make again.)
(CAUTION: Cutters and broken castings hurt: eye protection, hands)
(off, stop within reach.)
(CAUTION: Local codes and licensed practice come first. Not for)
(lifting gear or anything a life hangs on.)
(CAUTION: Run it in the air first: the sheet says how to write the)
(air program. Watch every move.)
(CAUTION: Start with the spindle high and nothing under it: the first)
(move is down to the safe height.)
(Minutes expected, stops not counted: 33.7)
G17 G40 G49 G54 G80 G90 G94
G21
(stub and seat)
(T1 end6, 6.000 mm end mill, stick-out 26.000 mm)
T1 M6
(Touch off the length of T1, Z0 as at the head)
M0
S1290 M3
G0 Z5.44
(Pass 1: seat)
G0 A0.0
G0 X-4.0 Y-1.3
G0 Z-6.6084
(seat row 1)
G1 X33.0 F99
G0 X36.0
G0 Y1.3
(seat row 2)
G1 X-1.0
G0 X-4.0
G0 Z5.44
M5
(slot)
(T2 end4, 4.000 mm end mill, stick-out 24.000 mm)
T2 M6
(Touch off the length of T2, Z0 as at the head)
M0
S4850 M3
G0 Z5.44
(Pass 2: slot)
G0 X-3.0 Y-0.4
G0 Z-8.1834
(slot row 1)
G1 X33.0 F150
G0 X35.0
G0 Z-9.7584
(slot row 1)
G1 X-1.0
G0 X-3.0
G0 Z-11.3334
(slot row 1)
G1 X33.0
G0 X35.0
G0 Z-12.9084
(slot row 1)
G1 X-1.0
G0 X-3.0
G0 Y0.4
(slot row 2)
G1 X33.0
G0 X35.0
G0 Z5.44
(Pass 3: wall right)
G0 X-3.0 Y0.5
G0 Z-12.9084
G0 X-2.0
G1 X33.0
G0 X35.0
G0 Z5.44
(Pass 4: wall left)
G0 Y-0.5
G0 Z-12.9084
G0 X34.0
G1 X-1.0
G0 X-3.0
G0 Z5.44
M5
(dovetail)
(T4 dovetail15, 5.000 mm dovetail cutter, stick-out 26.000 mm)
T4 M6
(Touch off the length of T4, Z0 as at the head)
M0
S770 M3
G0 Z5.44
(Pass 5: dovetail right)
G0 X-3.5 Y0.1659
G0 Z-12.9084
(dovetail right cut 1 of 5)
G0 X-2.5
G1 X33.0 F20
G0 X35.5
G0 Y0.3318
(dovetail right cut 2 of 5)
G0 X34.5
G1 X-1.0
G0 X-3.5
G0 Y0.4976
(dovetail right cut 3 of 5)
G0 X-2.5
G1 X33.0
G0 X35.5
G0 Y0.6635
(dovetail right cut 4 of 5)
G0 X34.5
G1 X-1.0
G0 X-3.5
G0 Y0.8294
(dovetail right cut 5 of 5)
G0 X-2.5
G1 X33.0
G0 X35.5
(the same cut once more: the cutter sprang away)
G0 Z5.44
G0 X-3.5
G0 Z-12.9084
G0 X-2.0
G1 X33.0
G0 X35.5
(the same cut once more: the cutter sprang away)
G0 Z5.44
G0 X-3.5
G0 Z-12.9084
G0 X-2.0
G1 X33.0
G0 X35.5
G0 Z5.44
(Pass 6: dovetail left)
G0 Y-0.1659
G0 Z-12.9084
(dovetail left cut 1 of 5)
G0 X34.5
G1 X-1.0
G0 X-3.5
G0 Y-0.3318
(dovetail left cut 2 of 5)
G0 X-2.5
G1 X33.0
G0 X35.5
G0 Y-0.4976
(dovetail left cut 3 of 5)
G0 X34.5
G1 X-1.0
G0 X-3.5
G0 Y-0.6635
(dovetail left cut 4 of 5)
G0 X-2.5
G1 X33.0
G0 X35.5
G0 Y-0.8294
(dovetail left cut 5 of 5)
G0 X34.5
G1 X-1.0
G0 X-3.5
(the same cut once more: the cutter sprang away)
G0 Z5.44
G0 X35.5
G0 Z-12.9084
G0 X34.0
G1 X-1.0
G0 X-3.5
(the same cut once more: the cutter sprang away)
G0 Z5.44
G0 X35.5
G0 Z-12.9084
G0 X34.0
G1 X-1.0
G0 X-3.5
G0 Z5.44
M5
(lock holes)
(T5 drill42, 4.200 mm drill, stick-out 55.000 mm)
T5 M6
(Touch off the length of T5, Z0 as at the head)
M0
S1840 M3
G0 Z5.44
(Pass 7: lock hole 1)
G0 X16.0 Y0.0
G0 Z-11.9084
G1 Z-16.1084 F110
G0 Z-11.9084
G0 Z-15.8544
G1 Z-20.3084
G0 Z-11.9084
G0 Z-20.0544
G1 Z-20.8537
G0 Z-11.9084
G0 Z5.44
G0 X35.1
M5
(Tap M5 by hand, from the bore side if a hand gets there. Clean out)
(the chips.)
M0
M2
