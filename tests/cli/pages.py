"""What tests of reports share: how a page is looked at, and what it is held against."""

import bisect
import csv
import io

CELL_COLOURS = "[...document.querySelectorAll('.riser-map .cell')].map(cell => cell.getAttribute('stroke'))"


def building(risers, pipes, cells):
    """A scenario of so many risers, each a tree of pipes, with a vent at each far end."""
    text = ['format = 1\ntitle = "Large building"\nduration = "7 d"\ntarget = "95 %"\n[site]\npressure = "101.325 kPa"\n'
            'temperature = "15 degC"\n[source]\nkind = "generator"\npurity = "99 %"\nnitrogen_flow = "900 L/min"\n'
            'air_flow = "4 m3/min"\n[source.receiver]\nvolume = "2 m3"\nstart = "6 barg"\nstop = "7.5 barg"\nair_below = "5 barg"\n']  # fmt: skip
    for r in range(risers):
        text.append(f'[[riser]]\nname = "Zone {r + 1}"\nset_pressure = "2 barg"\nfill = {{ diameter = "12 mm" }}\n'
                    'supply = { kind = "regulator", diameter = "4 mm" }\n')  # fmt: skip
        for p in range(pipes):
            root = "" if p == 0 else f'from = "pipe {(p - 1) // 2}"\n'
            text.append(f'[[riser.pipe]]\nname = "pipe {p}"\n{root}bore = "{50 + 60 // (p + 1)} mm"\nlength = "{12 + p} m"\ncells = {cells}\n')
            if 2 * p + 1 >= pipes:
                text.append(f'[[riser.vent]]\nname = "vent {p}"\nat = "pipe {p}"\ndiameter = "0.3 mm"\n')
    return "".join(text)


def quiet(page):
    assert page.complaints() == []
    assert page.requests() == []


def go_to(page, row):
    page.evaluate(f"(() => {{ const s = document.getElementById('moment'); s.value = {row};"
                  " s.dispatchEvent(new Event('input', { bubbles: true })); })()")  # fmt: skip


def table(page, name):
    """Body of a table as lists of texts."""
    return page.evaluate(
        f"[...document.querySelectorAll('table.{name} tbody tr')].map(row => [...row.children].map(c => c.textContent))"
    )


def percent(text):
    return float(text.removesuffix(" %")) / 100


class Course:
    """The time series of --csv, between whose rows one may ask."""

    def __init__(self, text):
        self.times, self.oxygen, self.pressure = [], {}, {}
        for row in csv.DictReader(io.StringIO(text)):
            time_s = float(row["time_s"])
            if not self.times or time_s > self.times[-1]:
                self.times.append(time_s)
            place = row["riser"], row["pipe"], row["cell"]
            self.oxygen.setdefault(place, []).append(float(row["oxygen"]))
            self.pressure.setdefault(place, []).append(float(row["pressure_pa"]))

    def at(self, values, time_s):
        k = min(max(bisect.bisect_right(self.times, time_s), 1), len(self.times) - 1)
        share = (time_s - self.times[k - 1]) / (self.times[k] - self.times[k - 1])
        return values[k - 1] + share * (values[k] - values[k - 1])
