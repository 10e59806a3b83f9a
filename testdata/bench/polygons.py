"""Takes the same sections from the same stock with a general polygon library
(GEOS, by Debian's python3-shapely) and compares area and time.

    COGMEND_SECTIONS=/tmp/sections.json go test ./cmd/internal/repair -run TestSections -count=1
    /usr/bin/python3 testdata/bench/polygons.py /tmp/sections.json
"""
import json
import sys
import time

from shapely.geometry import Polygon
from shapely.ops import unary_union

with open(sys.argv[1]) as f:
    s = json.load(f)
whole = unary_union([Polygon(r) for r in s["stock"]])
cuts = [Polygon(r) for r in s["cuts"]]
took = float("inf")
for _ in range(20):  # the best counts
    stock = whole
    begin = time.perf_counter()
    for k in cuts:
        stock = stock.difference(k)
    took = min(took, time.perf_counter() - begin)
ours = s["nanoseconds"] / 1e9
print(f"{len(cuts)} cuts: ours {ours * 1e3:.3f} ms, library {took * 1e3:.3f} ms, {took / ours:.1f} times")
print(f"area left: ours {s['area']:.9f}, library {stock.area:.9f}, difference {s['area'] - stock.area:.2e} mm2")
