# SPDX-License-Identifier: Apache-2.0
"""The pages of `cabinload report` in a real Chromium: nothing is asked of a network, no complaint, charts are drawn, units
switch, they print on two sheets, and axe-core finds no serious issue.

usage: page_test.py PROGRAM FOLDER [--pictures]     FOLDER keeps the pages, axe-core and, if asked for, pictures to look at
Skipped (status 77) without Chromium; the part with axe-core is left out, and says so, where the npm registry is not reached.
"""
import os
import re
import resource
import shutil
import subprocess
import sys
import tarfile
import time

import chromium

AXE = "axe-core@4.10.3"
A4_in, LETTER_in = (8.27, 11.69), (8.5, 11)
READY_ms, WRITTEN_s = 1000, 2
NASTY = """<script>window.bad = 1</script> </script><img src=x onerror="window.bad=2"> "double" 'single' & \U0001F690 \u202Eevil """ \
        "\u0634\u0627\u062D\u0646\u0629 \u05E8\u05DB\u05D1"

problems = []


def check(good, what):
    print(("ok       " if good else "FAILED   ") + what)
    if not good:
        problems.append(what)


def axe_source(folder):
    """The text of axe-core from the npm registry, kept in the folder; None where it is not to be had."""
    kept = os.path.join(folder, AXE.replace("@", "-") + ".min.js")
    if not os.path.exists(kept):
        if shutil.which("npm") is None:
            return None
        try:
            name = subprocess.run(["npm", "pack", AXE, "--silent"], cwd=folder, capture_output=True, text=True, timeout=60,
                                  check=True).stdout.split()[-1]
            with tarfile.open(os.path.join(folder, name)) as archive, open(kept, "wb") as out:
                out.write(archive.extractfile("package/axe.min.js").read())
        except (subprocess.SubprocessError, OSError, IndexError, KeyError, tarfile.TarError):
            return None
    with open(kept, encoding="utf-8") as source:
        return source.read()


def child_s():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def write(program, path, *arguments):
    run = subprocess.run([program, "report", "-o", path, "--force", "-q", *arguments], capture_output=True, text=True)
    if run.returncode not in (0, 1):
        sys.exit(f"report {' '.join(arguments)} ended with {run.returncode}: {run.stderr}")
    return path


def timed(program, path, name, *arguments):
    started, used = time.monotonic(), child_s()
    write(program, path, *arguments)
    took, used = time.monotonic() - started, child_s() - used
    print(f"note     {name}: {took:.1f} s, {used:.1f} s of a processor, {os.path.getsize(path) / 1000:.0f} kB")
    # Others may have the machine: then what it would take alone, half of its work on the second core.
    check(took <= WRITTEN_s or used * 0.75 <= WRITTEN_s, f"{name}: written within {WRITTEN_s} s")


DRAWN = """[...document.querySelectorAll('canvas')].map((c) => {
  const copy = Object.assign(document.createElement('canvas'), {width: c.width, height: c.height});
  const copied = copy.getContext('2d', {willReadFrequently: true}), seen = new Set();
  copied.drawImage(c, 0, 0);
  const p = copied.getImageData(0, 0, c.width, c.height).data;
  let painted = 0;
  for (let i = 0; i < p.length; i += 4) if (p[i + 3] > 0) { painted++; seen.add(p[i] << 16 | p[i + 1] << 8 | p[i + 2]); }
  return [c.id, painted / (c.width * c.height), seen.size]; })"""
# What a key means is told in the units of the scenario file.
VISIBLE = "document.querySelectorAll('.values td:nth-child(3), .values td:nth-child(4)').forEach((e) => e.remove()); " \
          "document.querySelectorAll('details').forEach((d) => { d.open = true; }); document.body.innerText"
# Units of the other system, outside of the command line and of names.
SI = re.compile(r"\d ?(°C|degC|cm²|m²|m³/h|km/h|m\b)")
US = re.compile(r"\d ?(°F|in²|ft²|cfm|mph|ft\b)")


def loads(page, name):
    check(not page.problems(), f"{name}: no complaint in the console {page.problems() or ''}")
    outside = [u for u in page.requests() if not u.startswith(("file:", "data:"))]
    check(len(page.requests()) > 0 and not outside, f"{name}: no request leaves the file {outside or ''}")
    ready = page.js("Number(document.documentElement.dataset.ready || 1e6)")
    if ready > READY_ms and os.getloadavg()[0] > os.cpu_count():  # others have the machine: what it takes alone
        print(f"note     {name}: ready after {ready} ms on a machine of load {os.getloadavg()[0]:.1f}; of its own:")
        ready = 1000 * page.working_s()
    check(ready <= READY_ms, f"{name}: ready after {ready:.0f} ms")


def charts(page, name, ids):
    drawn = page.js(DRAWN)
    check([d[0] for d in drawn] == ids, f"{name}: charts {[d[0] for d in drawn]}")
    for chart, share, colours in drawn:
        check(share > 0.01 and colours > 8, f"{name}: {chart} is drawn ({100 * share:.0f} % painted, {colours} colours)")


def units(page, name):
    first = "Chart.getChart('temperatures').data.datasets[2].data[0].y"
    title = "Chart.getChart('temperatures').options.scales.y.title.text"
    degC = page.js(first)
    check(page.js(title) == "°C" and not US.search(page.js("document.querySelector('.answer').innerText")),
          f"{name}: opens in SI")
    page.click("label:has(#us)")
    degF = page.js(first)
    check(page.js(title) == "°F" and abs(degF - degC * 1.8 - 32) < 1e-9, f"{name}: the chart goes from {degC:.2f} to {degF:.2f}")
    text = "\n".join(t for t in page.js(VISIBLE).splitlines() if "cabinload report" not in t)
    text = re.sub(r"\d m \([\d.]+ ft\)", "", text)  # the drawing's scale says both
    left = [t for t in text.splitlines() if SI.search(t)]
    check(US.search(text) is not None and not left, f"{name}: nothing visible stays in SI {left[:5] or ''}")
    page.click("label:has(#si)")
    check(page.js(first) == degC, f"{name}: and back")


SMALLEST_pt = 6.5
# Sizes of the text that is printed, smallest first; the drawing of the roof is scaled and has its own.
PRINTED = """(() => { const seen = {}, walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) { const e = walk.currentNode.parentElement;
    if (walk.currentNode.data.trim() && !e.closest('.unseen, svg, script, style') && e.getClientRects().length)
      seen[(parseFloat(getComputedStyle(e).fontSize) * 0.75).toFixed(2)] = e.textContent.slice(0, 30); }
  return Object.entries(seen).sort((a, b) => a[0] - b[0]); })()"""


# Where on the axis of time each chart's points stand, and its ends.
TIMES = """['temperatures', 'power'].map((id) => { const c = Chart.getChart(id), x = c.scales.x;
  return [x.min, x.max, x.ticks.map((t) => t.label).slice(0, 2), c.data.datasets.map((d, i) => [d.label,
    ...[0, 1, 23].map((k) => x.getValueForPixel(c.getDatasetMeta(i).data[k].x))])]; })"""


def times(page, name):
    """A mean stands in the middle of its hour, the charge at its end, a limit goes from end to end."""
    for first, last, labels, sets in page.js(TIMES):
        check((first, last) == (0, 24) and labels[0] == "12:00", f"{name}: the axis of time goes from {labels[0]} for {last} h")
        for label, *at in sets:
            bars = label in ("cooling unit", "other loads", "sun", "alternator", "shore")
            want = (1, 2, 24) if label.startswith("charge") else (0, 1.5, 24) if label in ("limit", "cut-off") else (0.5, 1.5, 23.5)
            # Bars of one hour stand side by side, all of them within it.
            check(all(abs(a - w) < (0.5 if bars else 0.01) for a, w in zip(at, want)),
                  f"{name}: {label} stands at {[round(a, 2) for a in at]} h")


def fits(page, name):
    """The map of the animals needs no scrolling on a phone; a table that does shows and can be reached."""
    cut = "(e) => e.scrollWidth > e.clientWidth"
    maps = page.js(f"[...document.querySelectorAll('.map')].map((e) => [({cut})(e), e.querySelectorAll('thead th').length - 1])")
    check(maps == [[False, 12], [False, 12]], f"{name}: the map of 24 hours stands whole, in halves {maps}")
    wide = page.js(f"[...document.querySelectorAll('.scroll')].filter({cut}).map((e) => [e.tabIndex, "
                   "getComputedStyle(e).backgroundImage.split('linear-gradient').length - 1, e.getAttribute('aria-label')])")
    check(len(wide) > 0 and all(w[:2] == [0, 4] for w in wide), f"{name}: what is wider shows so and has the keyboard {wide}")


def prints(page, name, sheets):
    page.call("Emulation.setEmulatedMedia", media="print")
    page.js("new Promise((done) => setTimeout(done, 200))")  # charts are drawn anew
    sizes = page.js(PRINTED)
    charts = page.js("Object.values(Chart.instances).flatMap((c) => Object.values(c.options.scales).map((s) => s.ticks.font.size))")
    check(float(sizes[0][0]) >= SMALLEST_pt, f"{name}: the smallest printed text has {sizes[0][0]} pt ({sizes[0][1]})")
    check(min(charts) * 0.75 >= SMALLEST_pt, f"{name}: and in charts {min(charts) * 0.75:.2f} pt")
    page.call("Emulation.setEmulatedMedia", media="")
    for size_name, size in (("A4", A4_in), ("Letter", LETTER_in)):
        pdf = page.pdf(*size)
        found = len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
        check(found == sheets, f"{name}: {found} sheets of {size_name}, wanted {sheets}")
        with open(os.path.join(FOLDER, f"{name}-{size_name}.pdf"), "wb") as out:
            out.write(pdf)


def keyboard(page, name):
    """The way of the Tab key: skip link, switches, contents, calendar; arrows read the nights."""
    seen = []
    while len(seen) < 40 and "calendar" not in seen:
        page.key("Tab")
        seen.append(page.js("document.activeElement.id || document.activeElement.getAttribute('href')"))
    parts = page.js("[...document.querySelectorAll('.contents a')].map((a) => a.getAttribute('href'))")
    taken = page.js("[...document.querySelectorAll('.tools input:checked')].map((e) => e.id)")
    check(seen == ["#answer", *taken, *parts, "calendar"], f"{name}: Tab goes the way of the page {seen}")
    check(page.js("[...document.querySelectorAll('.contents a')].every((a) => document.querySelector(a.getAttribute('href')))"),
          f"{name}: every entry of the contents leads somewhere")
    page.key("Home")
    one = page.js("document.getElementById('reading').textContent")
    page.key("ArrowRight")
    two = page.js("document.getElementById('reading').textContent")
    check(one != two and ":" in two and "bed" in two, f"{name}: arrows read the nights: {two}")


def accessible(page, name, axe):
    page.js("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    page.js(axe + "; 0")
    found = page.js("axe.run(document, {resultTypes: ['violations']}).then((r) => r.violations.map((v) => "
                    "[v.impact, v.id, v.nodes.length, v.nodes[0].target.join(' '), v.nodes[0].failureSummary]))")
    serious = [v for v in found if v[0] in ("serious", "critical")]
    check(not serious, f"{name}: axe-core finds nothing serious {serious or ''}")
    for v in found:
        if v not in serious:
            print("note    ", name, v[0], v[1], v[3])


def main(program, pictures):
    axe = axe_source(FOLDER)
    if axe is None:
        print("skipped  axe-core: the npm registry is not reached")
    season = os.path.join(FOLDER, "season.html")
    period = ("--from", "05-01", "--to", "09-30")
    timed(program, season, "season", *period)
    dog = os.path.join(FOLDER, "dog.html")
    timed(program, dog, "season with a dog in the hottest town", *period, "--weather", "tucson", "--pet", "dog 20 kg")
    check(os.path.getsize(season) < 1e6, "season: below 1 MB")
    animals = write(program, os.path.join(FOLDER, "animals.html"), "--pet", "dog 20 kg", "--from", "07-14", "--to", "07-17",
                    "--set", "name=" + NASTY, "--set", "panels.power=200 W", "--set", "battery.full_at=never")
    # What fills the sheets: every month, nights that may harm sleepers, an animal.
    full = write(program, os.path.join(FOLDER, "full.html"), "--weather", "miami", "--pet", "dog 20 kg", "--set", "vehicle.paint=light-grey")
    quiet = write(program, os.path.join(FOLDER, "quiet.html"), "--weather", "sand-point", "--set", "name=" + "W" * 10000)
    all_charts = ["temperatures", "power", "heat0", "heat1"]
    with chromium.Browser(chromium.find()) as browser:
        page = chromium.Page(browser).open(season)
        loads(page, "season")
        charts(page, "season", all_charts)
        times(page, "season")
        keyboard(page, "season")
        units(page, "season")
        if axe:
            accessible(page, "season, light", axe)
        page.light(dark=True)
        charts(page, "season, dark", all_charts)
        if axe:
            accessible(page, "season, dark", axe)
        prints(page, "season", 2)
        check(not page.problems(), f"season: still no complaint {page.problems() or ''}")
        page.close()

        page = chromium.Page(browser, width=390, height=844).open(animals)
        loads(page, "animals")
        charts(page, "animals, phone", all_charts)
        times(page, "animals, phone")
        fits(page, "animals, phone")
        check(page.js("document.documentElement.scrollWidth") <= 390, "animals, phone: nothing is wider than the screen")
        check(page.js("window.bad === undefined && document.images.length === 0"), "animals: the name is no markup")
        check(NASTY.split("\u202E")[0].strip() in page.js("document.querySelector('.who').textContent"), "animals: the name is whole")
        check(page.js("[...document.querySelectorAll('#animals .cautions strong')].map((e) => e.textContent)")[:2] ==
              ["DANGER", "WARNING"], "animals: its warnings stand first")
        if axe:
            accessible(page, "animals, phone", axe)
        prints(page, "animals", 3)
        page.close()

        page = chromium.Page(browser, width=390, height=844).open(full)
        check(page.js("document.querySelectorAll('.top .cautions .WARNING').length") == 1, "full: the sleepers' warning stands in the head")
        prints(page, "full", 3)
        page.close()

        page = chromium.Page(browser, width=390, height=844).open(quiet)
        loads(page, "quiet")
        check(page.js("document.documentElement.scrollWidth") <= 390, "quiet: 10 000 characters do not widen it")
        check(len(page.js("document.querySelector('.who').textContent")) == 10000, "quiet: they are all there")
        prints(page, "quiet", 2)  # a whole year
        page.close()

        page = chromium.Page(browser, scripts=False).open(season)
        check(page.js("document.querySelectorAll('canvas').length") == 4 and
              page.js("getComputedStyle(document.querySelector('.canvas')).display") == "none", "no script: no empty charts")
        page.click("label:has(#us)")
        check("°F" in page.js("document.querySelector('.answer').innerText"), "no script: units switch all the same")
        check(page.js("document.querySelectorAll('#night table tbody tr').length") == 24, "no script: the night as a table")
        page.close()

        if pictures:
            for name, path in (("season", season), ("animals", animals), ("quiet", quiet)):
                for width in (390, 1280):
                    for dark in (False, True):
                        page = chromium.Page(browser, width=width, dark=dark).open(path)
                        page.picture(os.path.join(FOLDER, f"{name}-{width}-{'dark' if dark else 'light'}.png"))
                        page.close()
    if problems:
        sys.exit(f"{len(problems)} checks failed")


if __name__ == "__main__":
    if chromium.find() is None:
        print("skipped: no Chromium here")
        sys.exit(77)
    FOLDER = sys.argv[2]
    os.makedirs(FOLDER, exist_ok=True)
    main(sys.argv[1], "--pictures" in sys.argv)
