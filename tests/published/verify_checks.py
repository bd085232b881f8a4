"""Checks in a record - planned measurements that are no torque - computed again without Pullmark.

Only the Python standard library. Units after NIST SP 811 (2008), appendix B, as exact fractions; formulas are read by
Python's own parser; the uncertainty after JCGM 100:2008, 5.1.2 and 5.2.2, by finite differences.
"""

import ast
import math
import re
from fractions import Fraction

INCH, POUND, GRAVITY = Fraction(254, 10_000), Fraction(45_359_237, 100_000_000), Fraction(980_665, 100_000)
FORCE = POUND * GRAVITY
# UCUM code: the small unit, how many of it are one of these, and where the scale begins, in small units.
UNITS = {
    "um": ("um", 1, 0), "mm": ("um", 1_000, 0), "cm": ("um", 10_000, 0), "m": ("um", 10**6, 0),
    "[in_i]": ("um", INCH * 10**6, 0), "[ft_i]": ("um", INCH * 12 * 10**6, 0),
    "g": ("mg", 1_000, 0), "kg": ("mg", 10**6, 0), "[lb_av]": ("mg", POUND * 10**6, 0),
    "N": ("mN", 1_000, 0), "kgf": ("mN", GRAVITY * 1_000, 0), "[lbf_av]": ("mN", FORCE * 1_000, 0),
    "Pa": ("Pa", 1, 0), "kPa": ("Pa", 1_000, 0), "bar": ("Pa", 100_000, 0), "[psi]": ("Pa", FORCE / INCH**2, 0),
    "K": ("mK", 1_000, 0), "Cel": ("mK", 1_000, 273_150), "[degF]": ("mK", Fraction(5_000, 9), Fraction(2_298_350, 9)),
}
HARMS = ("Pa", "mN")  # too much of these can have hurt a part


class Differs(Exception):
    """A figure of a check does not follow from the others."""


def away(value):
    """The next whole number away from nothing."""
    return -math.ceil(-value) if value < 0 else math.ceil(value)


def shown_of(reading):
    """What was displayed, in whole small units; and the step of its last digit."""
    displayed = reading.get("displayed")
    if displayed is None:
        return None, None
    small, factor, zero = UNITS[displayed["unit"]]
    if small != reading["unit"]:
        raise Differs(f"{displayed['unit']} is no unit of {reading['unit']}")
    digits = displayed["value"]
    step = Fraction(1, 10 ** len(digits.partition(".")[2])) * factor
    value = Fraction(digits) * factor + zero
    return (away(value) if value >= 0 else -math.ceil(-value)), math.ceil(step)


def up(value):
    return max(0, math.ceil(value - 1e-6))


def worth_of(worth, shown):
    """The four uncertainties, in thousandths of a small unit."""
    display = up(worth["step"] / 2 / math.sqrt(3) * 1_000)
    basis = worth["basis"]
    if "certificate" in basis:
        known = basis["certificate"]
        tool = up(known["expanded"] * 1_000 / known["coverage_thousandths"] * 1_000)
    else:
        known = basis["accuracy"]
        half = known.get("accuracy", 0) + known.get("accuracy_ppm", 0) / 1e6 * abs(shown)
        tool = up(half / math.sqrt(3) * 1_000)
    standard = up(math.hypot(display, tool))
    return display, tool, standard, 2 * standard


def answer_of(value, verdict):
    limits, rule, expanded = verdict["limits"], verdict["rule"], verdict.get("expanded")
    lower, upper = limits.get("lower"), limits.get("upper")
    if value is None or (upper is not None and value > upper):
        return "over"
    if lower is not None and value < lower:
        return "under"
    guard = math.inf if expanded is None else expanded
    below = upper is None or value <= upper - guard
    above = lower is None or value >= lower + guard
    shown = {"simple": True, "guarded": below and above, "guarded-upper": below}[rule]
    return "within" if shown else "undecided"


def check_reading(known):
    reading = known["reading"]
    shown, step = shown_of(reading)
    value, worth = reading.get("value"), reading.get("worth")
    if shown is None:
        if value is not None or "over-range" not in reading.get("flags", []):
            raise Differs("nothing was displayed and something was judged")
    elif worth is None:
        if value != shown:
            raise Differs(f"{shown} was displayed and {value} judged")
    else:
        deviation = worth["basis"].get("certificate", {}).get("deviation", 0)
        stated = [worth[f"{name}_thousandths"] for name in ("resolution", "tool", "standard", "expanded")]
        if value != shown - deviation or worth["step"] < step:
            raise Differs(f"{shown} was displayed and {value} judged")
        if any(abs(one - other) > 2 for one, other in zip(stated, worth_of(worth, shown))):
            raise Differs(f"its uncertainty is {stated}, and comes to {worth_of(worth, shown)}")
    verdicts = [earlier["verdict"] for earlier in known.get("earlier_verdicts", [])]
    verdicts += [known["verdict"]] if "verdict" in known else []
    for verdict in verdicts:
        guard = None if worth is None else -(-worth["expanded_thousandths"] // 1_000)
        if verdict.get("expanded") != guard or verdict["answer"] != answer_of(value, verdict):
            raise Differs(f"the verdict {verdict['answer']} does not follow")
    return verdicts


def place_of(known):
    (how, said), = known["placement"].items()
    return said.get("place") if how in ("by-plan", "by-choice") else None


def counting(check):
    """The newest reading at each place since the check was last open."""
    opened = max((act["sequence"] for act in check.get("opened", [])), default=-1)
    newest = {}
    for known in check["readings"]:
        place = place_of(known)
        wanted = place["number"] < check["readings_wanted"] and known["reading"]["unit"] == check["spec"]["limits"]["unit"]
        if known["sequence"] > opened and wanted and "formula" not in check:
            newest[place["number"]] = known
    return [newest[number] for number in sorted(newest)]


GATHER = {"min": min, "max": max, "mean": lambda all: sum(all) / len(all), "spread": lambda all: max(all) - min(all)}


def evaluate(text, values):
    """A formula by Python's own parser. `values` has the list of values of every check."""
    names = {}

    def name(match):
        names[f"v{len(names)}"] = match.group(1)
        return f"v{len(names) - 1}"

    def of(node):
        if isinstance(node, ast.BinOp):
            left, right = of(node.left), of(node.right)
            kind = type(node.op)
            return {ast.Add: lambda: left + right, ast.Sub: lambda: left - right, ast.Mult: lambda: left * right, ast.Div: lambda: left / right}[kind]()
        if isinstance(node, ast.UnaryOp):
            return {ast.UAdd: 1, ast.USub: -1}[type(node.op)] * of(node.operand)
        if isinstance(node, ast.Constant):
            return float(node.value)
        if isinstance(node, ast.Name):
            return values[names[node.id]][-1]
        if isinstance(node, ast.Call) and node.func.id == "abs":
            return abs(of(node.args[0]))
        if isinstance(node, ast.Call):
            return GATHER[node.func.id]([value for argument in node.args for value in values[names[argument.id]]])
        raise Differs(f"the formula {text!r} cannot be read")

    return of(ast.parse(re.sub(r"\{([^}]*)\}", name, text), mode="eval").body)


def derived_of(check, by_id):
    """What a formula comes to and its standard uncertainty, in small units; nothing where an input is missing."""
    inputs = []
    for identity in check["formula"]["inputs"]:
        of = by_id[identity]
        known = counting(of)
        if len(known) < of["readings_wanted"]:
            return None
        inputs += [(identity, one) for one in known]
    start = [float(one["reading"]["value"]) if "value" in one["reading"] else None for _, one in inputs]
    if None in start:
        return None

    def result(values):
        lists = {}
        for (identity, _), value in zip(inputs, values):
            lists.setdefault(identity, []).append(value)
        return evaluate(check["formula"]["text"], lists)

    try:
        value = result(start)
    except ZeroDivisionError:
        return None
    if any("worth" not in one["reading"] for _, one in inputs):
        return value, None, inputs
    squares, shared = 0.0, {}
    for number, (_, one) in enumerate(inputs):
        worth = one["reading"]["worth"]

        def moves(thousandths, number=number):
            either = []
            for sign in (1, -1):
                values = list(start)
                values[number] += sign * thousandths / 1_000
                either.append(result(values))
            return (either[0] - either[1]) / 2

        squares += moves(worth["resolution_thousandths"]) ** 2
        certificate = worth["basis"].get("certificate", {}).get("number")
        shared.setdefault((one["reading"]["tool"], certificate), []).append(moves(worth["tool_thousandths"]))
    for (_, certificate), all in shared.items():
        together, apart = sum(all) ** 2, sum(one**2 for one in all)
        squares += together if certificate else max(together, apart)
    return value, math.sqrt(squares), inputs


def check_derived(check, by_id):
    again, said = derived_of(check, by_id), check.get("derived")
    if again is None or said is None:
        if again is not None or said is not None:
            raise Differs("what its formula comes to is missing, or too much")
        return
    value, standard, inputs = again
    size = max(0, math.ceil(abs(value) - 1e-6))
    if abs(said["value"] - (-size if value < 0 else size)) > 1:
        raise Differs(f"its formula comes to {value}, and {said['value']} is said")
    stated = said.get("standard_thousandths")
    if (stated is None) != (standard is None) or (standard is not None and abs(stated - up(standard * 1_000)) > 2):
        raise Differs(f"its uncertainty is said to be {stated}, and comes to {standard}")
    if said["inputs"] != sorted(one["sequence"] for _, one in inputs):
        raise Differs("it is said to come from other readings than those that count")
    if said["verdict"]["answer"] != answer_of(said["value"], said["verdict"]):
        raise Differs(f"the verdict {said['verdict']['answer']} does not follow")


def readings_of(subject):
    """Every reading of a check, and those that belong to none."""
    checks = subject.get("checks", []) + subject.get("removed_checks", [])
    return [known for check in checks for known in check["readings"]] + subject.get("checks_elsewhere", [])


def verify(subject):
    """Computes every check of a record again. Gives back how many there are."""
    checks = subject.get("checks", [])
    by_id = {check["id"]: check for check in checks}
    alarms = {alarm["reading"] for alarm in subject.get("check_alarms", [])}
    for known in readings_of(subject):
        verdicts = check_reading(known)
        over = [verdict for verdict in verdicts if verdict["answer"] == "over"]
        if over and known["reading"]["unit"] in HARMS and known["sequence"] not in alarms:
            raise Differs(f"reading {known['sequence']} is over and raised no alarm")
    for check in checks:
        counts = {known["sequence"] for known in counting(check)}
        for known in check["readings"]:
            if place_of(known)["check"] != check["id"] or known["counts"] != (known["sequence"] in counts):
                raise Differs(f"{check['id']}: which reading counts does not follow")
            if known["counts"] and known["verdict"]["limits"] != check["spec"]["limits"]:
                raise Differs(f"{check['id']}: judged by other limits")
        if "formula" in check:
            check_derived(check, by_id)
    return len(checks)
