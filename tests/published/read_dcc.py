"""Reads the points of a Digital Calibration Certificate, as a second opinion on the project's own reader.

Written from the element structure of dcc.xsd 3.3.0 and D-SI 2.2.1 (Physikalisch-Technische Bundesanstalt) alone. The units
are not known here: the package dsiUnits of the same institute says what each is in newton metres.

    read_dcc.py certificate.xml --serial SN-4711 [--table 1]
    read_dcc.py --units '\\newton\\metre' '\\percent' …

Prints JSON. Not for use: it believes what it is given.
"""

import argparse
import json
import math
import warnings
import xml.etree.ElementTree as ET
from fractions import Fraction

from dsi_unit import DsiUnit

DCC = "{https://ptb.de/dcc}"
SI = "{https://ptb.de/si}"
ROLES = ("basic_referenceValue", "basic_measuredValue", "basic_measurementError")


def factor(unit, base):
    """How many of the base unit the unit is, exactly; None if it is no multiple of it."""
    found = DsiUnit(unit)
    if not found.valid:
        return None
    scale = found.get_scale_factor(DsiUnit(base))
    if math.isnan(scale):
        return None
    # Decimal prefixes are powers of ten; the package reckons in binary fractions.
    power = round(math.log10(scale))
    if not math.isclose(scale, 10.0**power, rel_tol=1e-9):
        return None
    return Fraction(10) ** -power


def figures(node, name, count=None):
    """The figures of an element, single or a list; one stands for all."""
    words = node.find(SI + name).text.split()
    if count is not None and len(words) == 1:
        words = words * count
    return [Fraction(word) for word in words]


def spreads(node, end, count):
    """Expanded uncertainties and coverage factors, or None."""
    univariate = node.find(f"{SI}measurementUncertaintyUnivariate{end}")
    ways = [(node, "expandedUnc", "uncertainty")]
    if univariate is not None:
        ways += [(univariate, "expandedMU", "valueExpandedMU"), (univariate, "standardMU", "valueStandardMU")]
    for around, holder, value in ways:
        found = around.find(f"{SI}{holder}{end}")
        if found is None:
            continue
        values = figures(found, value + end, count)
        if holder == "standardMU":
            return list(zip(values, [Fraction(1)] * count))
        return list(zip(values, figures(found, "coverageFactor" + end, count)))
    return None


def quantity(node):
    """Values, factors to newton metres (or None for a ratio's), and uncertainties of a quantity."""
    hybrid = node.find(SI + "hybrid")
    forms = list(hybrid) if hybrid is not None else [child for child in node if child.tag.startswith(SI)]
    for form in forms:
        end = "XMLList" if form.tag.endswith("XMLList") else ""
        values = figures(form, "value" + end)
        units = form.find(f"{SI}unit{end}").text.split()
        units = units * len(values) if len(units) == 1 else units
        torques = [factor(unit, r"\newton\metre") for unit in units]
        ratios = [factor(unit, r"\one") for unit in units]
        if all(t is not None or r is not None for t, r in zip(torques, ratios)):
            return values, torques, ratios, spreads(form, end, len(values))
    return None


def groups(node):
    """Lists that hold all three, with their parents, in the order of the file."""
    found = [
        [q for q in node.findall(DCC + "quantity") if role in q.get("refType", "").split()] for role in ROLES
    ]
    if all(len(quantities) == 1 for quantities in found):
        yield node, [quantities[0] for quantities in found]
    for inner in node.findall(DCC + "list"):
        yield from groups(inner)


def rows(triple):
    """Points in millionths of a newton metre, coverage factors in thousandths."""
    reference, measured, error = (quantity(node) for node in triple)
    spread_of = error if error[3] is not None else measured
    for n, (value, k) in enumerate(spread_of[3]):
        torque = reference[0][n] * reference[1][n]
        unit, ratio = spread_of[1][n], spread_of[2][n]
        expanded = value * unit if unit is not None else value * ratio * torque
        yield {
            "reference": round_half_up(torque * 10**6),
            "indicated": round_half_up(measured[0][n] * measured[1][n] * 10**6),
            "expanded": math.ceil(expanded * 10**6),
            "coverage_factor": round_half_up(k * 1000),
        }


def round_half_up(value):
    return math.floor(value + Fraction(1, 2))


def tables(root, serial):
    items = root.find(f"{DCC}administrativeData/{DCC}items")
    numbers = lambda item: [value.text for value in item.iter(DCC + "value")]
    item = next(item for item in items.iter(DCC + "item") if serial in numbers(item))
    is_alone = len(list(items.iter(DCC + "item"))) == 1
    found = []
    for result in root.iterfind(f"{DCC}measurementResults/{DCC}measurementResult"):
        refers = result.get("refId")
        if not (is_alone if refers is None else item.get("id") in refers.split()):
            continue
        for data in result.iterfind(f"{DCC}results/{DCC}result/{DCC}data"):
            together = [list(rows(triple)) for _, triple in groups(data)]
            # Lists of single values beside each other are one table.
            if together and all(len(table) == 1 for table in together):
                together = [[table[0] for table in together]]
            found += together
    return found


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("file", nargs="?")
    parser.add_argument("--serial")
    parser.add_argument("--table", type=int, default=1)
    parser.add_argument("--units", nargs="*")
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    if asked.units:
        bases = {"torque": r"\newton\metre", "ratio": r"\one"}
        shown = {
            unit: {name: str(f) for name, base in bases.items() if (f := factor(unit, base)) is not None}
            for unit in asked.units
        }
        print(json.dumps(shown))
        return
    root = ET.parse(asked.file).getroot()
    core = root.find(f"{DCC}administrativeData/{DCC}coreData")
    found = tables(root, asked.serial)
    print(
        json.dumps(
            {
                "number": core.find(DCC + "uniqueIdentifier").text,
                "date": core.find(DCC + "endPerformanceDate").text[:10],
                "tables": len(found),
                "points": found[asked.table - 1],
            }
        )
    )


if __name__ == "__main__":
    main()
