#!/usr/bin/env python3
"""fill-trial.py TRIAL: fills a trial's tables with invented readings of three visits, writes its plots as plots.csv.
fill-trial.py TRIAL RESULTS: writes what keyline monitor found as found.csv beside them, for check-trials.R."""
import csv, json, math, os, random, sys

trial = sys.argv[1]
design = json.load(open(os.path.join(trial, "trial.json")))
plots = {p["id"]: p for p in design["plots"]}
control = [t["id"] for t in design["treatments"] if t["control"]][0]
if len(sys.argv) == 3:
    results = json.load(open(os.path.join(sys.argv[2], "results.json")))
    with open(os.path.join(trial, "found.csv"), "w", newline="") as f:
        rows = csv.writer(f)
        rows.writerow(["measure", "effect", "low95", "high95", "low90", "high90", "freedom", "p", "p_over_all", "p_randomised"])
        for m in results["measures"]:
            rows.writerow([m["measure"], m["effect"], *m["interval_95"], *m["interval_90"], m["freedom"], m["p"], m["p_over_all"], m["p_randomised"]])
    sys.exit()

draw = random.Random(11)
level = {p: 0.4 * draw.gauss(0, 1) for p in plots}
with open(os.path.join(trial, "plots.csv"), "w", newline="") as f:
    rows = csv.writer(f)
    rows.writerow(["plot", "block", "treated"])
    rows.writerows([p["id"], p["block"], int(p["treatment"] != control)] for p in plots.values())
tables = {}
for name, head in {"clips": "date,plot,point,frame_m2,wet_g,dry_g,dry_share,note", "cover": "date,plot,point,method,group,hits,of,class,percent,note", "penetrometer": "date,plot,point,depth_cm,strength_kpa,moisture,note"}.items():
    tables[name] = csv.writer(open(os.path.join(trial, "readings", name + ".csv"), "w", newline=""))
    tables[name].writerow(head.split(","))
for date, effect in (("2027-03-20", 0.0), ("2027-07-10", 0.5), ("2028-04-08", 0.3)):
    for point in design["points"]:
        plot = point["plot"]
        more = effect if plots[plot]["treatment"] != control else 0.0
        if point["kind"] == "clip":
            tables["clips"].writerow([date, plot, point["id"], 0.25, "", round(40 * math.exp(level[plot] + more + 0.2 * draw.gauss(0, 1)), 2), "", ""])
        if point["kind"] == "quadrat":
            tables["cover"].writerow([date, plot, point["id"], "photo", "plant", "", "", "", round(min(100, max(0, 55 + 4 * level[plot] + 8 * draw.gauss(0, 1))), 1), ""])
