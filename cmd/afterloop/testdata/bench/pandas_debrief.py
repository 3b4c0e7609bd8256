#!/usr/bin/env python3
"""What a person would write for one evening: the yardstick of BenchmarkWhole.

usage: pandas_debrief.py LOG.csv OUT.json OUT.png

Reads a loop log with pandas, takes the median of the cells, integrates CNS
(next higher row) and OTU by the midpoint of each interval, and draws two charts.
"""
import json
import sys

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np
import pandas as pd

PO2 = np.array([0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6])
LIMIT_MIN = np.array([720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45])


def main():
    log, out_json, out_png = sys.argv[1:]
    d = pd.read_csv(log, comment="#")
    cells = [c for c in d.columns if c.startswith("cell") and c.endswith("_po2_bar")]
    d["vote"] = d[cells].median(axis=1)
    minutes = np.diff(d["time_s"]) / 60
    p = (d["vote"].to_numpy()[1:] + d["vote"].to_numpy()[:-1]) / 2
    row = np.clip(np.searchsorted(PO2, p - 1e-6), 0, len(PO2) - 1)
    cns = np.where(p > 0.5, minutes / LIMIT_MIN[row], 0).sum() * 100
    otu = (minutes * np.clip((p - 0.5) / 0.5, 0, None) ** (5 / 6)).sum()
    fig, (a, b) = plt.subplots(2, 1, sharex=True, figsize=(12, 8))
    a.plot(d["time_s"], -d["depth_m"])
    a.set_ylabel("depth, m")
    for c in cells:
        b.plot(d["time_s"], d[c], label=c)
    b.plot(d["time_s"], d["vote"], label="median")
    b.legend()
    b.set_ylabel("PO2, bar")
    fig.savefig(out_png)
    with open(out_json, "w") as f:
        json.dump({"cns_percent": float(cns), "otu": float(otu)}, f)


main()
