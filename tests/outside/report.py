"""What the checks found: one line each, and how many comparisons stood behind it."""


class Report:
    def __init__(self, quiet=False):
        self.quiet = quiet
        self.passed = 0
        self.compared = 0
        self.failures = []

    def check(self, name, ok, detail=""):
        """Notes a check; `ok` must be a real answer, a missing one is a failure."""
        ok = ok is not None and bool(ok)
        self.passed += ok
        self.compared += 1
        if not ok:
            self.failures.append(name)
        if not self.quiet:
            print(f"{'ok  ' if ok else 'FAIL'} {name}{': ' if detail else ''}{detail}")

    def none(self, name, wrong, compared, detail=""):
        """None of the compared ones may be wrong (`wrong` lists their positions), and there must have
        been some to compare."""
        self.compared += compared
        first = f", first at {[int(n) for n in wrong[:3]]}" if len(wrong) else ""
        tail = f"; {detail}" if detail else ""
        self.check(name, len(wrong) == 0 and compared > 0, f"{compared} compared, {len(wrong)} wrong{first}{tail}")

    def close(self, name, shown, expected, relative, unit=""):
        off = abs(shown - expected)
        ok = off <= relative * max(abs(expected), abs(shown)) + 1e-12
        self.check(name, ok, f"{shown:.8g} for {expected:.8g} {unit}".rstrip())

    def enough(self, name, compared, all_of_them, most_skipped):
        """At most a small share may have been left out of a comparison."""
        ok = compared >= all_of_them * (1 - most_skipped)
        self.check(f"{name}: enough compared", ok, f"{compared} of {all_of_them}")

    def last_line(self):
        verdict = "all agree" if not self.failures else "FAILED: " + ", ".join(self.failures)
        return f"{self.passed} checks passed, {self.compared} comparisons; {verdict}"
