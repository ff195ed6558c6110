#!/usr/bin/env python3
"""Holds the frame solver against general-purpose programs: first the reactions, then the times.

Installs the pinned programs into a folder of its own that is thrown away, builds the grillages of
benches/general_programs.rs in each, and prints how far the spring forces differ and how many times longer each takes.
Every time is for building the model, solving seven combinations and reading the spring forces, the best of several runs
in one process, on one thread.

    python3 benches/general/compare.py

OpenSees needs the system's BLAS and LAPACK (Debian: libblas3, liblapack3).
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

PINNED = ["openseespy==3.7.1.2", "PyNiteFEA==3.2.0", "numpy==2.4.6", "scipy==1.17.1"]
ROOT = pathlib.Path(__file__).resolve().parents[2]
COMBINATIONS = 7
MESH, SPRING = 0.8, 5e6
E, G, A, FLAT, TALL, J = 11e9, 0.69e9, 0.03, 25e-6, 225e-6, 79e-6
# Reactions must agree to this share of the largest before a time is told.
AGREE = 1e-6


def load(combination, member):
    return 1000.0 + (member * (combination + 3)) % 11 * 100.0


def grid(size):
    """Nodes, members and places of springs, in the order of the other side."""
    east, north = size
    count = east * north
    places = [(MESH * (k % east), MESH * (k // east)) for k in range(count)]
    members, springs = [], []
    for k in range(count):
        if k % east + 1 < east:
            members.append((k, k + 1))
        if k // east + 1 < north:
            members.append((k, k + east))
        if (k % east + k // east) % 4 == 0:
            springs.append(k)
    return places, members, springs


def opensees(size):
    import openseespy.opensees as ops

    places, members, springs = grid(size)
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    for k, (x, y) in enumerate(places):
        ops.node(k, x, y, 0.0)
        ops.fix(k, 1, 1, 0, 0, 0, 1)
    ops.geomTransf("Linear", 1, 0.0, 0.0, 1.0)
    for k, (i, j) in enumerate(members):
        ops.element("elasticBeamColumn", k, i, j, A, E, G, J, TALL, FLAT, 1)
    ops.uniaxialMaterial("Elastic", 1, SPRING)
    for number, k in enumerate(springs):
        ground = len(places) + number
        ops.node(ground, *places[k], 0.0)
        ops.fix(ground, 1, 1, 1, 1, 1, 1)
        ops.element("zeroLength", len(members) + number, ground, k, "-mat", 1, "-dir", 3)
    ops.timeSeries("Constant", 1)
    ops.constraints("Plain")
    ops.numberer("RCM")
    ops.system("BandSPD")
    ops.algorithm("Linear")
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static")
    forces = []
    for combination in range(COMBINATIONS):
        ops.pattern("Plain", 1, 1)
        for k in range(len(members)):
            ops.eleLoad("-ele", k, "-type", "-beamUniform", 0.0, -load(combination, k))
        if ops.analyze(1) != 0:
            raise RuntimeError("no solution")
        forces.append([abs(ops.nodeDisp(k, 3)) * SPRING for k in springs])
        ops.remove("loadPattern", 1)
    return forces


def pynite(size):
    from Pynite import FEModel3D

    places, members, springs = grid(size)
    model = FEModel3D()
    model.add_material("wood", E, G, 0.3, 0.0)
    model.add_section("beam", A, TALL, FLAT, J)
    for k, (x, y) in enumerate(places):
        model.add_node(f"n{k}", x, y, 0.0)
        model.def_support(f"n{k}", True, True, False, False, False, True)
    for k, (i, j) in enumerate(members):
        model.add_member(f"m{k}", f"n{i}", f"n{j}", "wood", "beam")
    for k in springs:
        model.def_support_spring(f"n{k}", "DZ", SPRING)
    for combination in range(COMBINATIONS):
        for k in range(len(members)):
            w = -load(combination, k)
            model.add_member_dist_load(f"m{k}", "FZ", w, w, case=f"c{combination}")
        model.add_load_combo(f"c{combination}", {f"c{combination}": 1.0})
    model.analyze_linear()
    return [
        [abs(model.nodes[f"n{k}"].DZ[f"c{combination}"]) * SPRING for k in springs]
        for combination in range(COMBINATIONS)
    ]


def measure(solve, size, runs):
    import time

    best, forces = float("inf"), None
    for _ in range(runs):
        start = time.perf_counter()
        forces = solve(size)
        best = min(best, time.perf_counter() - start)
    return best, forces


def compare():
    command = ["cargo", "bench", "--quiet", "--bench", "general_programs"]
    own = json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout)
    print(f"{'members':>8}  {'barkline':>10}")
    for model in own:
        print(f"{model['members']:8}  {model['seconds'] * 1e3:7.2f} ms")
        for name, solve, runs, most in [("OpenSees", opensees, 10, 20_000), ("PyNite", pynite, 3, 2_000)]:
            if model["members"] > most:
                print(f"          {name:<10} not run: it would take minutes")
                continue
            seconds, forces = measure(solve, model["size"], runs)
            largest = max(map(max, model["forces"]))
            pairs = zip(sum(forces, []), sum(model["forces"], []))
            off = max(abs(a - b) for a, b in pairs) / largest
            if off > AGREE:
                sys.exit(f"{name}: reactions differ by {off:.1e} of the largest: no time is told")
            ratio = seconds / model["seconds"]
            print(f"          {name:<10} {seconds * 1e3:9.2f} ms  {ratio:7.1f} times as long, reactions within {off:.0e}")


def main():
    if os.environ.get("GENERAL_PROGRAMS") == "here":
        compare()
        return
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, "-m", "venv", folder], check=True)
        python = str(pathlib.Path(folder) / "bin" / "python")
        subprocess.run([python, "-m", "pip", "install", "--quiet", *PINNED], check=True)
        env = os.environ | {"GENERAL_PROGRAMS": "here", "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        sys.exit(subprocess.run([python, __file__], env=env).returncode)


if __name__ == "__main__":
    main()
