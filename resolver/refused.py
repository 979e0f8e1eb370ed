"""The one complaint of the resolver: a value that cannot be, or a question too large; never a bug."""


class Refused(ValueError):
    """A request that the rules or the stated limits exclude.

    `name` is the thing complained of in players' words ("hit number"); the text is a whole sentence
    fragment that names the rule and the value ("a hit number lies between 2 and 6, got 9").
    """

    def __init__(self, name: str, message: str) -> None:
        super().__init__(message)
        self.name = name
        self.message = message


def within(name: str, value: float, low: float, high: float) -> None:
    """Raise Refused unless low <= value <= high."""
    if not low <= value <= high:
        article = "an" if name[:1] in "aeiou" else "a"
        raise Refused(name, f"{article} {name} lies between {_said(low)} and {_said(high)}, got {_said(value)}")


def _said(number: float) -> str:
    """A number as people write it: never with an exponent."""
    return f"{number:,}" if isinstance(number, int) else f"{number:,.3f}".rstrip("0").rstrip(".")
