"""Walks the imports of a package laid out like ours, and tells each one that the house does not allow.

Conventions
-----------
A room is a folder of `airladder`. The files beside the rooms and the folders `app`, `appliance` and `selftest` are
the wiring: they may import every room, and no room may import them; only `faults` is for all. What lies on top,
`appliance` and `selftest`, is imported by the command line alone. The files are read, never run.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

OURS = "airladder"

# What a room may import of ours, beside itself and `faults`.
MAY_IMPORT = {
    "music": (),
    "hearing": ("music",),
    "practice": ("music", "hearing"),
    "pages": ("music", "hearing", "practice"),
    "panel": ("music", "hearing", "practice", "pages"),
    "target": ("music", "hearing.block"),
    "virtualhorn": ("music", "hearing.block"),
    "journal": ("music", "hearing", "practice"),
    "export": ("music", "hearing", "practice", "journal"),
    "report": ("music", "hearing", "practice", "journal"),
    "drive": ("music", "hearing", "practice", "journal", "export", "report"),
    "studio": ("music", "hearing", "practice", "journal", "export", "report", "drive"),
    "devices": (
        "music",
        "hearing.block",
        "practice.presses",
        "panel.debounce",
        "pages.light",
        "target",
        "virtualhorn",
    ),
}
WIRING = "app"
ON_TOP = ("appliance", "selftest")
"""Wiring that only the files beside the rooms import."""
PURE = {"music", "hearing", "practice", "pages", "panel", "target", "virtualhorn"}
# Threads, the clock, the computer: what a pure room's answers must not depend on.
NOT_PURE = {
    *("sqlite3", "threading", "queue", "asyncio", "subprocess", "multiprocessing", "concurrent"),
    *("signal", "socket", "time", "datetime", "os"),
}
# Each in one file of `devices`, and imported late, so that all else runs where the library is not. A file may begin
# with one (to make a subclass, say) if it is itself imported late by all others.
VENDORS = {"alsaaudio", "luma.core", "luma.oled", "gpiozero", "lgpio", "smbus2", "soundfile", "soxr"}
ONLY_IN = {
    "aubio": {"hearing"},
    "PIL": {"panel", "devices", WIRING, *ON_TOP},
    "sqlite3": {"journal", "report"},  # the log's owner, and the report's digest of it
    "mido": {"export"},
    **{library: {"studio"} for library in ("duckdb", "pyarrow", "pyspark")},
}
SEEDED = {"Random", "default_rng", "Generator", "PCG64", "SeedSequence"}


@dataclass(frozen=True)
class Import:
    """One imported name: full dotted `name`, the `line`, and whether it is `late` (not run on import)."""

    name: str
    line: int
    late: bool

    @property
    def library(self) -> str:
        """The first word of the name; luma's libraries share theirs, so the first two."""
        words = self.name.split(".")
        return ".".join(words[: 2 if words[0] == "luma" else 1])


def imports_of(tree: ast.Module, package: list[str]) -> Iterator[Import]:
    """Every import in a file whose package is `package`, wherever it stands in the file."""
    late = {id(inner) for node in ast.walk(tree) if runs_late(node) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        for name in names_imported(node, package):
            yield Import(name, getattr(node, "lineno", 0), id(node) in late)


def runs_late(node: ast.AST) -> bool:
    """Whether what stands in `node` is not run when the file is imported."""
    checking = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)
    return checking or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)


def names_imported(node: ast.AST, package: list[str]) -> list[str]:
    """The full names that one statement or call imports; none for most nodes."""
    match node:
        case ast.Import(names):
            return [alias.name for alias in names]
        case ast.ImportFrom(module, names, level):
            above = package[: len(package) - (level or 0) + 1] if level else []
            return [".".join([*above, *([module] if module else []), alias.name]) for alias in names]
        case ast.Call(func, [ast.Constant(value=str(name)), *_]) if ast.unparse(func).endswith(
            ("import_module", "__import__")
        ):
            return [name]
    return []


def within(name: str, places: tuple[str, ...]) -> bool:
    """Whether the dotted `name` is one of `places` or inside one."""
    return any(name == place or name.startswith(f"{place}.") for place in places)


@dataclass(frozen=True)
class File:
    """A file of the package: its path below it as `parts`, its code, and what it imports."""

    parts: tuple[str, ...]
    tree: ast.Module

    @property
    def room(self) -> str:
        """The folder it stands in."""
        return self.parts[0] if len(self.parts) > 1 else WIRING

    @property
    def module(self) -> str:
        """Its dotted name."""
        return ".".join([OURS, *self.parts]).removesuffix(".py").removesuffix(".__init__")

    @cached_property
    def imports(self) -> list[Import]:
        """All of them."""
        return list(imports_of(self.tree, [OURS, *self.parts[:-1]]))

    def __str__(self) -> str:
        return "/".join([OURS, *self.parts])


def breaches(package: Path) -> list[str]:
    """One sentence for each import below `package` that the house does not allow."""
    paths = sorted(package.rglob("*.py"))
    files = [File(path.relative_to(package).parts, ast.parse(path.read_text("utf-8"))) for path in paths]
    told: list[str] = []
    for file in files:
        if file.room not in {*MAY_IMPORT, WIRING, *ON_TOP}:
            told.append(f"{file} stands in a room that the house does not know.")
            continue
        told += [f"{file} line {found.line}: {fault}" for found in file.imports for fault in faults(file.room, found)]
        if file.room in PURE:
            told += [f"{file} line {line}: {file.room} draws lots without a seed." for line in unseeded(file.tree)]
    return [*told, *reaching_up(files), *shared_vendors(files), *early_vendors(files)]


def faults(room: str, found: Import) -> Iterator[str]:
    """What is wrong with this import in this room."""
    if found.library == OURS and room not in {WIRING, *ON_TOP}:
        allowed = ("faults", room, *MAY_IMPORT[room])
        if not within(found.name.removeprefix(f"{OURS}."), allowed):
            yield f"{room} imports {found.name}; of ours it may import only {', '.join(allowed)}."
    if room in PURE and found.library in NOT_PURE:
        yield f"{room} is pure and must not import {found.library}."
    if found.library in VENDORS and room != "devices":
        yield f"{room} imports {found.library}, which belongs in devices."
    if found.library in ONLY_IN and room not in ONLY_IN[found.library]:
        yield f"{room} imports {found.library}, which belongs in {' or '.join(sorted(ONLY_IN[found.library]))}."


def reaching_up(files: list[File]) -> Iterator[str]:
    """What imports something that lies on top of it."""
    for file in files:
        for found in file.imports:
            up = [room for room in ON_TOP if within(found.name, (f"{OURS}.{room}",))]
            if up and len(file.parts) > 1 and file.room not in up:
                yield f"{file} line {found.line}: {found.name} is for the command line alone."


def shared_vendors(files: list[File]) -> Iterator[str]:
    """A vendor's library that more than one file imports."""
    for library in sorted(VENDORS):
        homes = [str(file) for file in files if any(found.library == library for found in file.imports)]
        if len(homes) > 1:
            yield f"{library} is imported in {' and '.join(homes)}; a vendor's library has one file."


def early_vendors(files: list[File]) -> Iterator[str]:
    """A file that cannot be imported without a vendor's library, and is imported early by another."""
    for file in files:
        for library in sorted({found.library for found in file.imports if not found.late} & VENDORS):
            for other in files:
                for found in other.imports:
                    if within(found.name, (file.module,)) and not found.late:
                        yield (
                            f"{other} line {found.line}: {found.name} is imported early, and with it {library};"
                            " import it late, where it is used."
                        )


def unseeded(tree: ast.Module) -> Iterator[int]:
    """The lines that draw a random number from a generator that nobody seeded."""
    for node in ast.walk(tree):
        match node:
            case ast.ImportFrom("random" | "numpy.random", names) if {n.name for n in names} - SEEDED:
                yield node.lineno
            case ast.Call(ast.Attribute(whose, what), args, keywords) if (
                ast.unparse(whose).split(".")[-1] == "random"
            ):
                if what not in SEEDED or not (args or keywords):
                    yield node.lineno
            case ast.Call(ast.Name(what), [], []) if what in {"Random", "default_rng"}:
                yield node.lineno
