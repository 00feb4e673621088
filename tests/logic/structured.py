"""A small interpreter of structured text (IEC 61131-3): what the programs of the control settings use of it, written from the standard's
description of the language and of TON and TOF (from memory). One call is one scan."""
import re

TOKEN = re.compile(r"\s*(?:\(\*.*?\*\)\s*)*(T#[0-9]+(?:ms|d)|\.\.|:=|<>|<=|>=|[A-Za-z_][A-Za-z0-9_]*|[0-9]+\.[0-9]+(?:[eE][-+]?[0-9]+)?|[0-9]+"
                   r"|[][().,;:<>=+*/-])", re.S)
UNITS = {"ms": 1, "d": 86400000}


class Ton:
    def __init__(self):
        self.Q, self.ET, self._begin, self._last = False, 0, None, False

    def call(self, now, IN, PT):
        if not IN:
            self.Q, self.ET, self._begin = False, 0, None
            return
        if self._begin is None:
            self._begin = now
        self.ET = min(now - self._begin, PT)
        self.Q = self.ET >= PT


class Tof:
    def __init__(self):
        self.Q, self.ET, self._begin = False, 0, None

    def call(self, now, IN, PT):
        if IN:
            self.Q, self.ET, self._begin = True, 0, None
            return
        if self.Q and self._begin is None:
            self._begin = now
        if self._begin is not None:
            self.ET = min(now - self._begin, PT)
            if self.ET >= PT:
                self.Q = False


BLOCKS = {"TON": Ton, "TOF": Tof}
ZERO = {"BOOL": False, "INT": 0, "UDINT": 0, "TIME": 0, "LREAL": 0.0}


class Program:
    """Compiled to Python: each statement becomes a line, so that long runs take seconds."""

    def __init__(self, text):
        self.tokens, at = [], 0
        text = text.rstrip() + " "
        while at < len(text):
            match = TOKEN.match(text, at)
            if not match:
                if text[at:].strip():
                    raise SyntaxError(text[at:at + 40])
                break
            self.tokens.append(match.group(1))
            at = match.end()
        self.at, self.lines, self.values, self.instances = 0, [], {}, {}
        self.lost = {}  # as it begins: what a power cut takes away
        self.expect("FUNCTION_BLOCK")
        self.name = self.take()
        while self.peek() in ("VAR", "VAR_INPUT", "VAR_OUTPUT"):
            kind, keeps = self.take(), self.peek() == "RETAIN"
            if keeps:
                self.take()
            self.declarations(kind == "VAR" and not keeps)
        self.block(1, ("END_FUNCTION_BLOCK",))
        self.expect("END_FUNCTION_BLOCK")
        if self.at != len(self.tokens):
            raise SyntaxError("behind the end: " + " ".join(self.tokens[self.at:self.at + 5]))
        source = "def scan(v, b, now):\n" + "\n".join(self.lines) + "\n"
        scope = {}
        exec(compile(source, self.name, "exec"), scope)  # pylint: disable=exec-used
        self.scan = scope["scan"]

    def peek(self):
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self):
        self.at += 1
        return self.tokens[self.at - 1]

    def expect(self, token):
        found = self.take()
        if found != token:
            raise SyntaxError(f"{token} wanted, {found} found, behind {' '.join(self.tokens[max(self.at - 8, 0):self.at - 1])}")

    def declarations(self, lost):
        while self.peek() != "END_VAR":
            name = self.take()
            self.expect(":")
            kind, count = self.take(), None
            if kind == "ARRAY":
                self.expect("[")
                self.expect("0")
                self.expect("..")
                count = int(self.take()) + 1
                self.expect("]")
                self.expect("OF")
                kind = self.take()
            self.expect(";")
            if name in self.values or name in self.instances:
                raise SyntaxError(name + " is declared twice")
            if kind in BLOCKS:
                self.instances[name] = [BLOCKS[kind]() for _ in range(count)] if count else BLOCKS[kind]()
            else:
                self.values[name] = [ZERO[kind]] * count if count else ZERO[kind]
                if lost and not count:
                    self.lost[name] = ZERO[kind]
        self.take()

    def emit(self, depth, line):
        self.lines.append("    " * depth + line)

    def block(self, depth, ends):
        begun = len(self.lines)
        while self.peek() not in ends:
            self.statement(depth)
        if len(self.lines) == begun:
            self.emit(depth, "pass")

    def statement(self, depth):
        word = self.take()
        if word == "IF":
            self.branch(depth, "if")
        elif word == "FOR":
            name = self.take()
            self.expect(":=")
            low = self.expression()
            self.expect("TO")
            high = self.expression()
            self.expect("DO")
            self.emit(depth, f"for v[{name!r}] in range({low}, {high} + 1):")
            self.block(depth + 1, ("END_FOR",))
            self.expect("END_FOR")
            self.expect(";")
        else:
            self.at -= 1
            self.call_or_assign(depth)

    def branch(self, depth, word):
        self.emit(depth, f"{word} {self.expression()}:")
        self.expect("THEN")
        self.block(depth + 1, ("ELSIF", "ELSE", "END_IF"))
        end = self.take()
        if end == "ELSIF":
            self.branch(depth, "elif")
            return
        if end == "ELSE":
            self.emit(depth, "else:")
            self.block(depth + 1, ("END_IF",))
            self.expect("END_IF")
        self.expect(";")

    def place(self):
        name = self.take()
        if name not in self.values and name not in self.instances:
            raise SyntaxError(name + " is not declared")
        text = f"{'b' if name in self.instances else 'v'}[{name!r}]"
        if self.peek() == "[":
            self.take()
            text += f"[{self.expression()}]"
            self.expect("]")
        return name, text

    def call_or_assign(self, depth):
        name, text = self.place()
        if name in self.instances:
            self.expect("(")
            inputs = []
            while self.peek() != ")":
                inputs.append(self.take())
                self.expect(":=")
                inputs[-1] += "=" + self.expression()
                if self.peek() == ",":
                    self.take()
            self.take()
            self.emit(depth, f"{text}.call(now, {', '.join(inputs)})")
        else:
            self.expect(":=")
            self.emit(depth, f"{text} = {self.expression()}")
        self.expect(";")

    # OR < AND < comparison < sum < MOD < NOT
    def expression(self):
        text = self.conjunction()
        while self.peek() == "OR":
            self.take()
            text = f"({text} or {self.conjunction()})"
        return text

    def conjunction(self):
        text = self.comparison()
        while self.peek() == "AND":
            self.take()
            text = f"({text} and {self.comparison()})"
        return text

    def comparison(self):
        text = self.sum()
        signs = {"=": "==", "<>": "!=", "<": "<", ">": ">", "<=": "<=", ">=": ">="}
        if self.peek() in signs:
            sign = signs[self.take()]
            text = f"({text} {sign} {self.sum()})"
        return text

    def sum(self):
        text = self.product()
        while self.peek() in ("+", "-"):
            sign = self.take()
            text = f"({text} {sign} {self.product()})"
        return text

    def product(self):
        text = self.primary()
        while self.peek() in ("MOD", "*", "/"):
            sign = {"MOD": "%", "*": "*", "/": "//"}[self.take()]
            text = f"({text} {sign} {self.primary()})"
        return text

    def primary(self):
        word = self.peek()
        if word == "(":
            self.take()
            text = self.expression()
            self.expect(")")
            return f"({text})"
        if word == "NOT":
            self.take()
            return f"(not {self.primary()})"
        if word in ("TRUE", "FALSE"):
            return str(self.take() == "TRUE")
        if word.startswith("T#"):
            number, unit = re.fullmatch(r"T#(\d+)(ms|d)", self.take()).groups()
            return str(int(number) * UNITS[unit])
        if word[0].isdigit() or word == "-":
            return self.take() + (self.take() if word == "-" else "")
        name, text = self.place()
        if name in self.instances:
            self.expect(".")
            member = self.take()
            if member not in ("Q", "ET"):
                raise SyntaxError(member)
            text += "." + member
        return text
