"""Plain Python into plain JavaScript: the modules that the phone file shares with the program.

    python tests/to_js.py            writes the scripts of SCRIPTS anew

A module may hold constants and functions over numbers, texts, lists and tables; no class, no
exception, no closure over a variable that changes. What is not in `_Writer` is refused with its
line, so that nothing is turned into something else in silence.
"""

from __future__ import annotations

import ast
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[1] / "pricing"
PAGE = ROOT / "pages" / "phone_page"
# The script, the folder and its modules, each after those it uses.
SCRIPTS = (
    ("wording.js", "wording", (
        *("plain", "decided", "alongside", "question_words", "lot_words", "drawing", "offer_words"),
        *("ask_words", "unknown_words"),
    )),
    ("formulas.js", "formulas", (
        *("lot_formulas", "open_kinds", "limit", "standing", "pair", "faults", "repairs_needed"),
        *("bench_sums", "exits", "nearest_word", "unknowns", "price_terms", "offer_sums"),
        *("normal_law", "selling", "by_age", "usual_way", "bids", "asks"),
    )),
    ("gate.js", "words", ("perils", "gate", "gate_input", "digits")),
    ("reader.js", "words", (
        *("tokens", "sayings", "amounts", "kinds", "second_thoughts", "breath"),
        *("called", "looks", "prices", "troubles", "halves", "bench_note", "diagnosis"),
        "gist",
        *("reader", "as_question"),
    )),
)  # fmt: skip
# What Python means and JavaScript does not: truth of empty lists and tables, `+` of lists, halves
# that go to the even number, a table's own keys only.
RUNTIME = """\
// Made by tests/to_js.py from pricing/wording, formulas and words: change it there, never here.
"use strict";
const py = {
  truth: (x) => (Array.isArray(x) ? x.length > 0 : x !== null && typeof x === "object" ? Object.keys(x).length > 0 : Boolean(x)),
  nil: (x) => x === null || x === undefined,
  add: (a, b) => (Array.isArray(a) ? [...a, ...b] : a + b),
  more: (a, b) => { if (!Array.isArray(a)) return a + b; a.push(...b); return a; },
  times: (a, n) => Array.from({ length: Math.max(n, 0) * a.length }, (_, i) => a[i % a.length]),
  len: (x) => (Array.isArray(x) || typeof x === "string" ? x.length : Object.keys(x).length),
  has: (x, y) => (Array.isArray(y) ? (Array.isArray(x) ? y.some((one) => py.eq(x, one)) : y.includes(x)) : typeof y === "string" ? y.includes(x) : Object.hasOwn(y, x)),
  get: (x, name, other = null) => (Object.hasOwn(x, name) ? x[name] : other),
  each: (x) => (Array.isArray(x) ? x : typeof x === "string" ? [...x] : Object.keys(x)),
  list: (x) => [...py.each(x)],
  eq: (a, b) => a === b || (Array.isArray(a) && Array.isArray(b) && a.length === b.length && a.every((x, i) => py.eq(x, b[i]))),
  less: (a, b) => { if (!Array.isArray(a)) return a < b ? -1 : a > b ? 1 : 0; for (let i = 0; i < a.length; i++) { const d = py.less(a[i], b[i]); if (d) return d; } return 0; },
  sorted: (x, key = (one) => one) => py.list(x).sort((a, b) => py.less(key(a), key(b))),
  split: (x, by) => (by === undefined ? x.split(/\\s+/).filter(Boolean) : x.split(by)),
  count: (x, one) => (typeof x === "string" ? x.split(one).length - 1 : x.filter((other) => other === one).length),
  remove: (x, one) => { x.splice(x.findIndex((other) => py.eq(one, other)), 1); },
  insert: (x, place, one) => { x.splice(place, 0, one); },
  first: (x, name, other) => { if (!Object.hasOwn(x, name)) x[name] = other; return x[name]; },
  fromkeys: (x, value = null) => Object.fromEntries(py.list(x).map((name) => [name, value])),
  isalpha: (x) => /^\\p{L}+$/u.test(x),
  isupper: (x) => x === x.toUpperCase() && x !== x.toLowerCase(),
  sum: (xs) => xs.reduce((a, b) => a + b, 0),
  max: (...xs) => Math.max(...(Array.isArray(xs[0]) ? xs[0] : xs)),
  min: (...xs) => Math.min(...(Array.isArray(xs[0]) ? xs[0] : xs)),
  range: (from, to = null, step = 1) => { const out = [], [a, b] = to === null ? [0, from] : [from, to]; for (let i = a; step > 0 ? i < b : i > b; i += step) out.push(i); return out; },
  logaddexp: (a, b) => Math.max(a, b) + Math.log1p(Math.exp(-Math.abs(a - b))),
  clip: (x, low, high) => Math.min(Math.max(x, low), high),
  // A number with at most so many digits, as "g" writes it: exact halves go to the even digit.
  general: (x, digits = 6) => {
    const [, figures, power] = /^-?([\\d.]+)e(.+)$/.exec(x.toExponential(60)), exact = figures.replace(".", "");
    const tie = /^50*$/.test(exact.slice(digits)), down = tie && +exact[digits - 1] % 2 === 0;
    const near = down ? Number(`${x < 0 ? "-" : ""}${exact[0]}.${exact.slice(1, digits)}e${power}`) : x;
    const [head, told_power] = near.toExponential(digits - 1).split("e");
    if (x === 0 || (+told_power >= -4 && +told_power < digits)) return String(Number(near.toPrecision(digits)));
    return `${head.includes(".") ? head.replace(/\\.?0+$/, "") : head}e${told_power[0]}${told_power.slice(1).padStart(2, "0")}`;
  },
  int: (x) => Math.trunc(Number(x)),
  round: (x, places = 0) => { if (places) return Number(x.toFixed(places)); const low = Math.floor(x), part = x - low; return part < 0.5 ? low : part > 0.5 ? low + 1 : low % 2 === 0 ? low : low + 1; },
};
"""
CALLS = {
    **{
        name: f"py.{name}"
        for name in (*("len", "max", "min", "sum", "list", "int", "round", "range", "sorted"),)
    },
    "abs": "Math.abs",
    "bool": "py.truth",
    "float": "Number",
    "str": "String",
    "dict": "Object.assign",
}
# A formula over arrays is one over single numbers there.
ARRAYS = {
    **{
        name: f"Math.{name}"
        for name in ("log", "exp", "expm1", "sqrt", "cos", "sin", "abs", "sign")
    },
    "maximum": "Math.max",
    "minimum": "Math.min",
    **{name: f"py.{name}" for name in ("clip", "logaddexp")},
}
# Methods that JavaScript has not, or has otherwise.
OWN_METHODS = {
    **{name: name for name in ("split", "count", "remove", "insert", "isalpha", "isupper")},
    "setdefault": "first",
}
# Words that JavaScript keeps for itself.
KEPT = ("case", "default", "delete", "function", "new", "switch", "this", "var", "let", "typeof",
        "void", "enum", "const", "catch", "throw", "export", "super", "do")  # fmt: skip
METHODS = {
    "upper": "toUpperCase",
    "startswith": "startsWith",
    "endswith": "endsWith",
    "append": "push",
    "replace": "replaceAll",
    "lower": "toLowerCase",
    "strip": "trim",
    "find": "indexOf",
    "rfind": "lastIndexOf",
    "index": "indexOf",
}
# Of numbers in a text; two places are those of the exact number, as there.
FORMATS = {"": "{}", "g": "py.general({})", ".0f": "py.round({})", ".2f": "{}.toFixed(2)"}
COMPARED = {
    ast.Is: "===",
    ast.IsNot: "!==",
    ast.Eq: "===",
    ast.NotEq: "!==",
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
}
SUMS = {ast.Pow: "**", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}


class Unknown(Exception):
    """Something that this translator does not know."""


class _Writer:
    """One module. modules: names under which it imports other ones whole, and what holds those."""

    def __init__(self) -> None:
        self.modules: dict[str, str] = {}

    def statement(self, node: ast.stmt) -> list[str]:
        match node:
            case ast.Expr(ast.Constant(str())):
                return []
            case ast.Import([ast.alias(name="math" | "numpy")]):
                return []
            case ast.ImportFrom(module="__future__" | "typing" | "collections.abc"):
                return []
            case ast.Delete([ast.Subscript() as gone]):
                return [f"delete {self.value(gone)};"]
            case ast.Expr(value):
                return [f"{self.value(value)};"]
            case ast.ImportFrom(module="pricing.words" | "pricing.wording" | "pricing.formulas"):
                folder = str(node.module).split(".")[1]
                given = {one.asname or one.name: holder([folder, one.name]) for one in node.names}
                self.modules |= given
                return []
            case ast.ImportFrom(module=module, names=names):
                taken = ", ".join(one.name for one in names)
                return [f"const {{ {taken} }} = {holder(str(module).split('.')[-2:])};"]
            case ast.Pass():
                return []
            case ast.FunctionDef():
                return self.function(node)
            case ast.Assign([target], value):
                return [f"{self.value(target)} = {self.value(value)};"]
            case ast.AnnAssign(target, _, value) if value is not None:
                return [f"{self.value(target)} = {self.value(value)};"]
            case ast.AugAssign(target, ast.Add(), value):
                at = self.value(target)
                return [f"{at} = py.more({at}, {self.value(value)});"]
            case ast.AugAssign(target, op, value) if type(op) in SUMS:
                at = self.value(target)
                return [f"{at} = {at} {SUMS[type(op)]} {self.value(value)};"]
            case ast.Return(value):
                return [f"return {self.value(value) if value else 'null'};"]
            case ast.If(test, body, other):
                lines = [f"if ({self.test(test)}) {{", *self.block(body)]
                return [*lines, *(["} else {", *self.block(other)] if other else []), "}"]
            case ast.Break() | ast.Continue():
                return [f"{ast.unparse(node)};"]
            case ast.While(test, body, []):
                return [f"while ({self.test(test)}) {{", *self.block(body), "}"]
            case ast.For(target, over, body, []):
                head = f"for ({self.value(target)} of {self.each(over)}) {{"
                return [head, *self.block(body), "}"]
        raise Unknown(f"line {node.lineno}: {ast.unparse(node)[:60]}")

    def block(self, body: list[ast.stmt]) -> list[str]:
        return [f" {line}" for node in body for line in self.statement(node)]

    def function(self, node: ast.FunctionDef) -> list[str]:
        given = [kept(one.arg) for one in node.args.args]
        own = {
            kept(name.id)
            for one in ast.walk(node)
            for name in ast.walk(one)
            if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store)
        } - set(given)
        first = len(given) - len(node.args.defaults)
        words = [
            name if i < first else f"{name} = {self.value(node.args.defaults[i - first])}"
            for i, name in enumerate(given)
        ]
        local = [f"  let {', '.join(sorted(own))};"] if own else []
        return [f"function {node.name}({', '.join(words)}) {{", *local, *self.block(node.body), "}"]

    def test(self, node: ast.expr) -> str:
        """An expression whose truth is asked."""
        match node:
            case ast.Compare():
                return self.value(node)
            case ast.BoolOp(op, values):
                word = " && " if isinstance(op, ast.And) else " || "
                return f"({word.join(self.test(one) for one in values)})"
            case ast.UnaryOp(ast.Not(), one):
                return f"!{self.test(one)}"
        return f"py.truth({self.value(node)})"

    def value(self, node: ast.expr) -> str:
        match node:
            case ast.Constant(value):
                return self.constant(value)
            case ast.Name(name):
                return kept(name)
            case ast.JoinedStr(parts):
                return "`" + "".join(map(self.part, parts)) + "`"
            case ast.List(items) | ast.Tuple(items):
                return f"[{', '.join(map(self.value, items))}]"
            case ast.Starred(inner):
                return f"...{self.value(inner)}"
            case ast.Dict(keys, values):
                return self.table(keys, values)
            case ast.Subscript(whole, ast.Slice(low, high, None)):
                ends = [self.value(low) if low else "0", *([self.value(high)] if high else [])]
                return f"{self.value(whole)}.slice({', '.join(ends)})"
            case ast.Subscript(whole, ast.UnaryOp(ast.USub(), back)):
                whole = self.value(whole)
                return f"{whole}[{whole}.length - {self.value(back)}]"
            case ast.Subscript(whole, index):
                return f"{self.value(whole)}[{self.value(index)}]"
            case ast.IfExp(test, one, other):
                return f"({self.test(test)} ? {self.value(one)} : {self.value(other)})"
            case ast.BoolOp(ast.Or(), [one, other]):
                return f"({self.test(one)} ? {self.value(one)} : {self.value(other)})"
            case ast.BoolOp() | ast.UnaryOp(ast.Not(), _):
                return self.test(node)
            case ast.UnaryOp(ast.USub(), one):
                return f"-{self.value(one)}"
            case ast.BinOp(left, ast.Add(), right):
                return f"py.add({self.value(left)}, {self.value(right)})"
            case ast.BinOp(ast.Dict() as left, ast.BitOr(), right):
                return f"{{ ...{self.value(left)}, ...{self.value(right)} }}"
            case ast.BinOp(ast.List() as left, ast.Mult(), right):
                return f"py.times({self.value(left)}, {self.value(right)})"
            case ast.BinOp(ast.UnaryOp(), ast.Pow(), _):
                pass  # JavaScript refuses -a ** b
            case ast.BinOp(left, op, right) if type(op) in SUMS:
                return f"({self.value(left)} {SUMS[type(op)]} {self.value(right)})"
            case ast.Compare(left, ops, rights):
                return self.compared(left, ops, rights)
            case ast.Call():
                return self.call(node)
            case ast.ListComp(made, [loop]) | ast.GeneratorExp(made, [loop]):
                return self.loop(made, loop)
            case ast.ListComp(made, [outer, inner]):
                return f"{self.loop(ast.ListComp(made, [inner]), outer)}.flat()"
            case ast.DictComp(key, value, [loop]):
                return f"Object.fromEntries({self.loop(ast.List([key, value]), loop)})"
            case ast.Attribute(ast.Name("math"), "pi" | "inf" as name):
                return "Math.PI" if name == "pi" else "Infinity"
            case ast.Attribute(ast.Name(of), name) if of in self.modules:
                return f"{self.modules[of]}.{kept(name)}"
            case ast.Attribute(whole, name):
                return f"{self.value(whole)}.{name}"
            case ast.Lambda(args, body):
                return f"({', '.join(kept(one.arg) for one in args.args)}) => {self.value(body)}"
        raise Unknown(f"line {node.lineno}: {ast.unparse(node)[:60]}")

    @staticmethod
    def constant(value: object) -> str:
        if isinstance(value, str):
            import json

            return json.dumps(value, ensure_ascii=False)
        return (
            "null"
            if value is None
            else str(value).lower()
            if isinstance(value, bool)
            else repr(value)
        )

    def part(self, node: ast.expr) -> str:
        if isinstance(node, ast.FormattedValue):
            form = "" if node.format_spec is None else ast.unparse(node.format_spec)[2:-1]
            if form not in FORMATS or node.conversion != -1:
                raise Unknown(f"line {node.lineno}: a format in {ast.unparse(node)}")
            return f"${{{FORMATS[form].format(self.value(node.value))}}}"
        assert isinstance(node, ast.Constant)
        return str(node.value).replace("\\", "\\\\").replace("`", "\\`").replace("${", "\\${")

    def each(self, node: ast.expr) -> str:
        """What a loop goes through: the names of a table where it may be one."""
        sure = isinstance(node, ast.Call | ast.List | ast.Tuple | ast.ListComp | ast.Subscript)
        if isinstance(node, ast.Subscript):
            sure = isinstance(node.slice, ast.Slice)
        return self.value(node) if sure else f"py.each({self.value(node)})"

    def table(self, keys: list[ast.expr | None], values: list[ast.expr]) -> str:
        cells = [
            f"...{self.value(value)}"
            if key is None
            else f"[{self.value(key)}]: {self.value(value)}"
            for key, value in zip(keys, values, strict=True)
        ]
        return f"{{ {', '.join(cells)} }}"

    def compared(self, left: ast.expr, ops: list[ast.cmpop], rights: list[ast.expr]) -> str:
        told, before = [], self.value(left)
        for op, right in zip(ops, rights, strict=True):
            after = self.value(right)
            if isinstance(op, ast.In | ast.NotIn):
                told.append(f"{'!' * isinstance(op, ast.NotIn)}py.has({before}, {after})")
            elif isinstance(op, ast.Is | ast.IsNot) and after == "null":
                told.append(f"{'!' * isinstance(op, ast.IsNot)}py.nil({before})")
            elif isinstance(op, ast.Eq | ast.NotEq) and not _plain(left, right):
                told.append(f"{'!' * isinstance(op, ast.NotEq)}py.eq({before}, {after})")
            else:
                told.append(f"{before} {COMPARED[type(op)]} {after}")
            before = after
        return f"({' && '.join(told)})"

    def call(self, node: ast.Call) -> str:
        match node.func:
            case ast.Name("any" | "all" as name):
                loop = node.args[0]
                assert isinstance(loop, ast.GeneratorExp)
                one = loop.generators[0]
                over = self.each(one.iter)
                for test in one.ifs:
                    over += f".filter(({self.value(one.target)}) => {self.test(test)})"
                test = f"({self.value(one.target)}) => {self.test(loop.elt)}"
                return f"{over}.{'some' if name == 'any' else 'every'}({test})"
        given = [self.value(one) for one in node.args]
        match node.func:
            case ast.Name("next") if isinstance(node.args[0], ast.GeneratorExp):
                return " ?? ".join([f"({given[0]}[0]", *given[1:]]) + ")"
            case ast.Name("sorted") if len(node.keywords) == 1 and node.keywords[0].arg == "key":
                return f"py.sorted({given[0]}, {self.value(node.keywords[0].value)})"
            case ast.Name("dict") if not node.keywords:
                return f"({{ ...{given[0]} }})"
            case ast.Name("ord"):
                return f"{given[0]}.codePointAt(0)"
            case ast.Attribute(ast.Name("np"), "where"):
                return f"({self.test(node.args[0])} ? {given[1]} : {given[2]})"
            case ast.Attribute(ast.Name("np"), name) if name in ARRAYS:
                return f"{ARRAYS[name]}({', '.join(given)})"
            case ast.Attribute(ast.Name("math"), name):
                return f"Math.{name}({', '.join(given)})"
            case ast.Attribute(ast.Name("dict"), "fromkeys"):
                return f"py.fromkeys({', '.join(given)})"
            case ast.Name(name) if not node.keywords:
                return f"{CALLS.get(name, name)}({', '.join(given)})"
            case ast.Attribute(ast.Name(of), _) if of in self.modules and not node.keywords:
                return f"{self.value(node.func)}({', '.join(given)})"
            case ast.Attribute(whole, "get"):
                return f"py.get({', '.join([self.value(whole), *given])})"
            case ast.Attribute(whole, "items" | "values" as name):
                return f"Object.{ {'items': 'entries', 'values': 'values'}[name] }({self.value(whole)})"
            case ast.Attribute(whole, "join"):
                return f"{given[0]}.join({self.value(whole)})"
            case ast.Attribute(whole, name) if name in OWN_METHODS and not node.keywords:
                return f"py.{OWN_METHODS[name]}({', '.join([self.value(whole), *given])})"
            case ast.Attribute(whole, name) if name in METHODS and not node.keywords:
                return f"{self.value(whole)}.{METHODS[name]}({', '.join(given)})"
        raise Unknown(f"line {node.lineno}: {ast.unparse(node)[:60]}")

    def loop(self, made: ast.expr, loop: ast.comprehension) -> str:
        over, target = self.each(loop.iter), self.value(loop.target)
        for test in loop.ifs:
            over += f".filter(({target}) => {self.test(test)})"
        return f"{over}.map(({target}) => ({self.value(made)}))"


def kept(name: str) -> str:
    """A name as it may stand there."""
    return f"{name}_" if name in KEPT else name


def _plain(*nodes: ast.expr) -> bool:
    """Whether one of them is a text or a number, so that `===` says what `==` does."""
    return any(isinstance(node, ast.Constant) for node in nodes)


def _alias(node: ast.stmt) -> bool:
    """Whether it only names a type for the checker."""
    match node:
        case ast.Assign(_, ast.Subscript(ast.Name("dict" | "list" | "tuple"), _)):
            return True
    return False


def holder(path: Sequence[str]) -> str:
    """The name of a module in the script: lot_words is worded, lot_formulas computed."""
    kind = "_formulas" if path[0] == "formulas" else "_words"
    return path[1].removesuffix(kind) + kind


def module(folder: str, name: str) -> str:
    """One module as one constant that holds its functions and constants."""
    tree = ast.parse((ROOT / folder / f"{name}.py").read_text(encoding="utf-8"))
    writer = _Writer()
    lines, names = [], []
    for node in tree.body:
        if _alias(node):
            continue
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            lines.append(f"const {writer.value(target)} = {writer.value(node.value)};")
            names += [one.id for one in ast.walk(target) if isinstance(one, ast.Name)]
        else:
            lines += writer.statement(node)
            names += [node.name] if isinstance(node, ast.FunctionDef) else []
    told = ", ".join(one for one in names if not one.startswith("_"))
    body = "\n".join(f" {line}" for line in [*lines, f"return {{ {told} }};"])
    return f"const {holder((folder, name))} = (() => {{\n{body}\n}})();\n"


def scripts() -> dict[str, str]:
    """All scripts by their file, the first one after what they need of Python."""
    made = {
        name: "".join(module(folder, one) for one in modules) for name, folder, modules in SCRIPTS
    }
    first = SCRIPTS[0][0]
    return made | {first: RUNTIME + made[first]}


def script() -> str:
    """All of it as one script."""
    return "".join(scripts().values())


if __name__ == "__main__":
    for name, text in scripts().items():
        (PAGE / name).write_text(text, encoding="utf-8")
