"""Apply the words of DESIGN.md 2 to a checkout of main.

usage: python3 scripts/words/rename.py WORKTREE [--report FILE]

What is learned: branch `layout` (before) and commit 8b35d82 (the same tree after its renames, each line one line).
A line that stands in `layout` becomes what it became there; other lines are renamed name by name (by import, by the
file, by the whole tree) and string by string (exact, then PHRASES). `fixes.toml` has what is decided by hand; `add/`
has whole files that are laid over the result. Running it twice changes nothing: what it wrote is in state/.
"""
from __future__ import annotations
import argparse, collections, difflib, functools, hashlib, io, json, lzma, pathlib, re, shutil, subprocess, sys, tokenize, tomllib

HERE = pathlib.Path(__file__).parent
OLD, NEW = "layout", "8b35d82"
TEXT = {".py", ".html", ".yaml", ".md", ".css", ".js", ".toml", ".json", ".txt", ".in"}
SKIP = re.compile(r"^(tests/goldens/recorded/|tests/records/frozen/|requirements/|LICENSE|NOTICE|\.ci|tests/test_words\.py|tests/words\.toml|src/sagwright/store/migrations/versions/|CHANGELOG\.md|tests/store/schemas/)")
FIX = tomllib.loads((HERE / "fixes.toml").read_text())
HAND = tomllib.loads((HERE / "hand.toml").read_text())["hand"]
HITS = collections.Counter()
PHRASES = [(re.compile(a), b) for a, b in FIX["phrases"]]
PIECES = [(re.compile(rf"(?<![A-Za-z0-9]){a}(?![A-Za-z0-9])"), b) for a, b in FIX["pieces"]]
SYMBOLS = FIX.get("symbols", {})          # "module:name" or "name" -> new
report: list[str] = []
OLD_MODULES: dict[str, str] = {}

def git(*a, cwd=str(HERE.parents[1])):
    return subprocess.run(["git", "-C", str(cwd), *a], capture_output=True, check=True).stdout.decode()

# ---------------------------------------------------------------- learning
def load():
    cache = HERE / "learned.json.xz"
    if cache.exists():
        return json.loads(lzma.decompress(cache.read_bytes()))
    files = {}
    moved = {}
    for l in git("diff", "--name-status", "-M40%", OLD, NEW).splitlines():
        p = l.split("\t")
        if p[0][0] == "R": moved[p[1]] = p[2]
    moved["src/sagwright/service/workshop/owners.py"] = "src/sagwright/service/workshop/customers.py"
    moved["tests/service/workshop/test_owners.py"] = "tests/service/workshop/test_customers.py"
    for f in git("ls-tree", "-r", "--name-only", OLD).splitlines():
        if pathlib.PurePath(f).suffix in TEXT and not f.startswith("tests/goldens/recorded"):
            files[f] = [git("show", f"{OLD}:{f}"), git("show", f"{NEW}:{moved.get(f, f)}")]
    out = {"files": files, "moved": moved}
    cache.write_bytes(lzma.compress(json.dumps(out).encode(), preset=1))
    return out

def tokens(text):
    """(type, string, (row, col), (row, col)) of real tokens."""
    out = []
    try:
        for t in tokenize.generate_tokens(io.StringIO(text).readline):
            if t.type in (tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER): continue
            out.append((t.type, t.string, t.start, t.end))
    except (tokenize.TokenError, IndentationError):
        pass
    return out

def contexts(toks, i):
    s = toks[i][1]
    p = toks[i-1][1] if i else ""
    n = toks[i+1][1] if i+1 < len(toks) else ""
    pp = toks[i-2][1] if i > 1 and p == "." else ""
    pc = p if p in (".", "def", "class", "import", "as", "for") else "*"
    nc = n if n in ("(", "=", ":", ".", "[") else "*"
    return [(s, "3", pp, p, n), (s, "2", pp, pc, nc), (s, "1", pc, nc), (s, "0", pc == ".", nc == "("), (s, ".", pc == ".")]

WORD = re.compile(r"[A-Za-z_][\w-]*|\s+|.", re.S)

def imports_of(toks):
    """name -> (module, name, token, alias)"""
    imported = {}
    i = 0
    while i < len(toks):                        # from M import a, b as c
        if toks[i][1] == "from" and (toks[i-1][2][0] != toks[i][2][0] or not i):
            j = i + 1; mod = ""
            while j < len(toks) and toks[j][1] != "import": mod += toks[j][1]; j += 1
            j += 1; depth = 0; row = toks[j-1][2][0]
            while j < len(toks) and (toks[j][2][0] == row or depth):
                if toks[j][1] == "(": depth += 1
                elif toks[j][1] == ")":
                    depth -= 1
                    row = toks[j][2][0]
                elif toks[j][0] == tokenize.NAME and toks[j][1] != "as" and toks[j-1][1] != "as":
                    alias = toks[j+2][1] if j + 2 < len(toks) and toks[j+1][1] == "as" else None
                    imported[alias or toks[j][1]] = (mod, toks[j][1], j, alias)
                j += 1
            i = j
        else: i += 1
    return imported

def learn(data):
    changed_names = collections.Counter()
    aligned = {}
    for f, (a, b) in data["files"].items():
        if not f.endswith(".py"): continue
        ta, tb = tokens(a), tokens(b)
        sm = difflib.SequenceMatcher(None, [x[0] for x in ta], [x[0] for x in tb], autojunk=False) if len(ta) != len(tb) else None
        if sm is None:
            pairs = list(zip(range(len(ta)), tb))
        else:
            rows = collections.defaultdict(list)
            for t in tb: rows[t[2][0]].append(t)
            mine = collections.defaultdict(list)
            for i, t in enumerate(ta): mine[t[2][0]].append(i)
            pairs = [(i, t) for r, idx in mine.items() if len(idx) == len(rows[r]) for i, t in zip(idx, rows[r])]
        aligned[f] = (ta, pairs)
        for i, t in pairs:
            if ta[i][0] == tokenize.NAME and ta[i][1] != t[1]: changed_names[ta[i][1]] += 1
    mods = {f.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".") for f in data["files"]}
    byfile = collections.defaultdict(lambda: collections.defaultdict(collections.Counter))
    glob = collections.defaultdict(collections.Counter)
    strings = collections.defaultdict(collections.Counter)
    symbols = {}
    for f, (ta, pairs) in aligned.items():
        mod = f.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        names = imports_of(ta)
        imports = {v[2]: v[0] for v in names.values()}
        for i, t in pairs:
            if ta[i][0] == tokenize.STRING: strings[ta[i][1]][t[1]] += 1
            if ta[i][0] != tokenize.NAME: continue
            if i in imports: symbols.setdefault(f"{imports[i]}:{ta[i][1]}", t[1])
            if ta[i][2][1] == 0 or (i and ta[i-1][1] in ("def", "class") and ta[i-1][2][1] == 0):   # a top-level definition
                if ta[i][1] not in ("def", "class", "from", "import"): symbols.setdefault(f"{mod}:{ta[i][1]}", t[1])
            if i > 1 and ta[i-1][1] == "." and (im := names.get(ta[i-2][1])) and f"{im[0]}.{im[1]}" in mods:
                symbols.setdefault(f"{im[0]}.{im[1]}:{ta[i][1]}", t[1])
            elif ta[i][1] in changed_names:
                for c in contexts(ta, i):
                    byfile[f][c][t[1]] += 1; glob[c][t[1]] += 1
    words = {}
    for f, (a, b) in data["files"].items():
        ext = pathlib.PurePath(f).suffix
        if ext == ".py" or a == b: continue
        for la, lb in zip(a.splitlines(), b.splitlines()):
            wa, wb = WORD.findall(la), WORD.findall(lb)
            if len(wa) == len(wb):
                for x, y in zip(wa, wb):
                    if x.strip(): words.setdefault(ext, collections.defaultdict(collections.Counter))[x][y] += 1
    lines = collections.defaultdict(set)
    for f, (a, b) in data["files"].items():
        for la, lb in zip(a.splitlines(), b.splitlines()):
            if len(la.strip()) > 14: lines[(pathlib.PurePath(f).suffix, la.strip())].add(lb.strip())
    return byfile, glob, strings, symbols, words, {k: next(iter(v)) for k, v in lines.items() if len(v) == 1}

DATA = load()
BYFILE, GLOB, STRINGS, SYMS, WORDS, LINES = learn(DATA)
BYNAME = collections.defaultdict(collections.Counter)
for k, v in SYMS.items(): BYNAME[k.split(":")[1]][v] += 1

# ---------------------------------------------------------------- applying
def decide(counter, share=0.9):
    if not counter: return None
    (best, n), = counter.most_common(1)
    return best if n / sum(counter.values()) >= share else None

def symbol(module, name):
    for key in (f"{module}:{name}", name):
        if key in SYMBOLS: return SYMBOLS[key]
    for one in (module, OLD_MODULES.get(module, module)):
        if f"{one}:{name}" in SYMS: return SYMS[f"{one}:{name}"]
    if (r := decide(BYNAME.get(name), 1.0)) is not None: return r
    if module.startswith("tests"): return name
    return None

def pieces(s):
    for p, b in PIECES: s = p.sub(b, s)
    return s

def phrases(s):
    for p, b in PHRASES: s = p.sub(b, s)
    return s

def string_token(s, name):
    hit = decide(STRINGS.get(s), 0.9)
    if hit is not None: return hit
    m = re.match(r"(?i)([rbuf]*)('''|\"\"\"|'|\")", s)
    if not m: return s
    prefix, quote = m.groups(); body = s[m.end():len(s)-len(quote)]
    if "b" in prefix.lower(): return s
    if "f" in prefix.lower():
        def part(x):
            if x.startswith("{") and not x.startswith("{{"):
                return re.sub(r"(?<![\w.])[A-Za-z_]\w*|(?<=\.)[A-Za-z_]\w*", lambda k: name(k[0], x[k.start()-1] if k.start() else "", x[k.end():k.end()+1]), x)
            return phrases(pieces(x))
        body = "".join(part(x) for x in re.split(r"(\{\{|\}\}|\{[^{}]*\})", body))
    else:
        body = phrases(pieces(body))
    return s[:m.end()] + body + quote

def module_of(imp):
    """The module that `from M import m` gives, "" for what is no module."""
    name = f"{imp[0]}.{imp[1]}"
    return name if name in ALL_MODULES else ""

def old_of(path):
    """The name a file had in `layout`."""
    return MOVES.get(path, path)

def apply_lines(path, text):
    """Lines that are known from `layout`; which rows are done."""
    base = DATA["files"].get(old_of(path))
    lines = text.splitlines()
    out, done = list(lines), set()
    ext = pathlib.PurePath(path).suffix
    if base:
        la, lb = base[0].splitlines(), base[1].splitlines()
        sm = difflib.SequenceMatcher(None, la, lines, autojunk=False)
        for i, j, n in sm.get_matching_blocks():
            for k in range(n): out[j+k] = lb[i+k]; done.add(j+k)
        local = collections.defaultdict(set)
        for x, y in zip(la, lb): local[x.strip()].add(y.strip())
    else: local = {}
    wrote = STATE.get(path)
    for r, l in enumerate(lines):
        if wrote is not None and l in wrote: done.add(r); out[r] = l; continue
        if r in done or not l.strip(): continue
        s = l.strip()
        hits = local.get(s) or set()
        new = next(iter(hits)) if len(hits) == 1 else LINES.get((ext, s))
        if new is not None and (len(s) > 14): out[r] = l[:len(l)-len(l.lstrip())] + new; done.add(r)
    return lines, out, done

def python(path, text):
    lines, out, done = apply_lines(path, text)
    toks = tokens(text)
    module = path.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    own = BYFILE.get(old_of(path), {})
    imported = imports_of(toks)
    at = {v[2]: v for v in imported.values()}
    def imported_as(s):
        r = symbol(imported[s][0], s)
        if r is None and len(BYNAME.get(s, {})) > 1: report.append(f"{path}: name {s} from {imported[s][0]}: {dict(BYNAME[s])}")
        return r or s
    defs = {t[1] for i, t in enumerate(toks) if t[0] == tokenize.NAME and (t[2][1] == 0 and i + 1 < len(toks) and toks[i+1][1] in "=:"
            or i and toks[i-1][1] in ("def", "class") and toks[i-1][2][1] == 0)} - set(imported)
    def look(i, ctxs, s, dot):
        if s in FIX.get("leave", []): return s
        if f"{path}:{s}" in SYMBOLS: return SYMBOLS[f"{path}:{s}"]
        if not dot and s in imported and not imported[s][0].startswith(("sagwright", "tests", ".")): return s
        if not dot and s in imported and imported[s][0].startswith(("sagwright", "tests")) and not imported[s][3]:
            return imported_as(s)
        if not dot and s in defs and toks[i+1:i+2] and not (toks[i+1][1] == "=" and toks[i][2][1] > 0):
            r = symbol(module, s)
            if r is None and BYNAME.get(s): report.append(f"{path}: defines {s}: {dict(BYNAME.get(s, {}))}")
            return r or s
        for c in ctxs:
            if (r := decide(own.get(c), 0.6)) is not None: return r
        for c in ctxs if dot else ctxs[-1:]:
            if (r := decide(GLOB.get(c), 0.85)) is not None: return r
        return None
    edits = collections.defaultdict(list)
    for i, (kind, s, (row, col), (erow, ecol)) in enumerate(toks):
        if kind == tokenize.NAME:
            if row - 1 in done: continue
            if i in at:
                mod, nm, _, alias = at[i]
                new = symbol(mod, nm) if mod.startswith(("sagwright", "tests", ".")) else nm
                if new is None: new = imported_as(nm) if nm in imported and not alias else nm
            elif s in FIX.get("leave", []): new = s
            elif i > 1 and toks[i-1][1] == "." and toks[i-2][1] in imported and toks[i-3][1] != "." and (m := module_of(imported[toks[i-2][1]])):
                new = symbol(m, s) or s
            else:
                ctxs = contexts(toks, i)
                new = look(i, ctxs, s, i > 0 and toks[i-1][1] == ".")
                if new is None and any(c in GLOB for c in ctxs):
                    total = GLOB[ctxs[-1]]
                    report.append(f"{path}:{row}: name {s}: {dict(total)}: {lines[row-1].strip()[:100]}")
            if new and new != s: edits[row-1].append((col, ecol, new))
        elif kind == tokenize.STRING:
            if row == erow:
                if row - 1 in done: continue
                def name(x, before, after, i=i):
                    fake = [(1, before if before == "." else "", 0, 0), (1, x, 0, 0), (1, after, 0, 0)]
                    return look(i, contexts(fake, 1), x, before == ".") or x
                new = string_token(s, name)
                if new != s: edits[row-1].append((col, ecol, new))
            else:
                for r in range(row-1, erow):
                    if r not in done: out[r] = phrases(pieces(lines[r]))
        elif kind == tokenize.COMMENT and row - 1 not in done:
            new = phrases(pieces(s))
            if new != s: edits[row-1].append((col, ecol, new))
    for r, es in edits.items():
        l = lines[r]
        for a, b, new in sorted(es, reverse=True): l = l[:a] + new + l[b:]
        out[r] = l
    text = "\n".join(out) + ("\n" if text.endswith("\n") else "")
    return modules_in(text)

def other(path, text):
    lines, out, done = apply_lines(path, text)
    ext = pathlib.PurePath(path).suffix
    table = WORDS.get(ext, {})
    for r, l in enumerate(lines):
        if r in done or not l.strip(): continue
        if ext in (".html", ".css", ".js", ".yaml"):
            l = "".join(decide(table.get(w), 0.95) or w if w in table and w not in FIX.get("leave", []) else w for w in WORD.findall(l))
        out[r] = phrases(pieces(l))
    return modules_in("\n".join(out) + ("\n" if text.endswith("\n") else ""))

MODULES = FIX["modules"]
def modules_in(text):
    for a, b in MODULES:
        text = re.sub(rf"(?<![\w.]){re.escape(a)}(?!\w)", b, text)
    return text

def main():
    p = argparse.ArgumentParser(); p.add_argument("worktree"); p.add_argument("--report", default=str(HERE / "report.txt"))
    p.add_argument("--only", default="")
    args = p.parse_args(); root = pathlib.Path(args.worktree)
    global MOVES, STATE
    state = HERE / "state" / (hashlib.sha256(str(root).encode()).hexdigest()[:12] + ".json")
    STATE = {k: set(v) for k, v in json.loads(state.read_text()).items()} if state.exists() else {}
    MOVES = {}
    for l in git("diff", "--name-status", "-M50%", OLD, "HEAD", cwd=root).splitlines():
        q = l.split("\t")
        if q[0][0] == "R": MOVES[q[2]] = q[1]
    for new, old in FIX.get("was", {}).items(): MOVES[new] = old
    dotted = lambda f: f.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    OLD_MODULES.update({dotted(n): dotted(o) for n, o in MOVES.items()})
    moved = dict(DATA["moved"]) | FIX["files"]
    global ALL_MODULES
    ALL_MODULES = {dotted(f) for f in git("ls-files", cwd=root).splitlines() if f.endswith(".py")}
    # 1. files
    for a, b in moved.items():
        if (root / a).exists() and not (root / b).exists():
            (root / b).parent.mkdir(parents=True, exist_ok=True); git("mv", a, b, cwd=root)
            print("moved", a, "->", b)
        MOVES[b] = MOVES.get(a, a)
    for l in git("ls-files", cwd=root).splitlines():   # rest of moved folders
        for a, b in FIX["folders"]:
            if l.startswith(a) and (root / l).exists():
                n = b + l[len(a):]; (root / n).parent.mkdir(parents=True, exist_ok=True); git("mv", l, n, cwd=root); MOVES[n] = MOVES.get(l, l)
    # 2. texts
    wrote, originals = {}, {}
    for f in git("ls-files", cwd=root).splitlines():
        path = root / f
        if path.suffix not in TEXT and path.name not in ("Makefile",) or SKIP.match(f) or not path.is_file(): continue
        if args.only and not f.startswith(args.only): continue
        text = originals[f] = path.read_text("utf-8")
        new = (python if path.suffix == ".py" else other)(f, text)
        for fix in FIX.get("fix", []):
            if __import__("fnmatch").fnmatch(f, fix["where"]):
                n2 = re.sub(fix["old"], fix["new"], new, flags=re.M) if fix.get("re") else new.replace(fix["old"], fix["new"])
                if n2 == new and fix["where"].find("*") < 0 and fix["new"] not in new: report.append(f"{f}: fix found nothing: {fix['old'][:60]}")
                new = n2
        for where, old, repl in HAND:
            if __import__("fnmatch").fnmatch(f, where):
                new, n = re.subn(old, repl, new, flags=re.M); HITS[old] += n
        if new != text: path.write_text(new, "utf-8")
        wrote[f] = sorted(set(new.splitlines()))
    # names that a module keeps to itself in `layout` and that others import now
    wanted = collections.defaultdict(set)
    for f in wrote:
        if f.endswith(".py"):
            for n, (m, x, _, _) in imports_of(tokens((root / f).read_text("utf-8"))).items(): wanted[m].add(x)
    for f in wrote:
        if f.endswith(".py"):
            text = new = (root / f).read_text("utf-8")
            top = {m[1] for m in re.finditer(r"^(?:def |class )?([A-Za-z_]\w*)", text, re.M)}
            for x in wanted[dotted(f)] | {n for n in imports_of(tokens(text))}:
                if re.search(rf"\b_{x}\b", text) and not re.search(rf"\b_{x}\b", originals[f]):
                    new = re.sub(rf"(?<![\w.])_{x}\b", x, new)
            if new != text: (root / f).write_text(new, "utf-8"); print("public again:", f)
    for _, old, _ in HAND:
        if not HITS[old] and not STATE: report.append(f"hand: found nothing: {old}")
    # 3. whole files
    add = HERE / "add"
    for src in sorted(add.rglob("*")):
        if src.is_file():
            dst = root / src.relative_to(add); dst.parent.mkdir(parents=True, exist_ok=True); shutil.copy2(src, dst)
    before = root / "tests/goldens/before_words"
    if not before.exists(): shutil.copytree(root / "tests/goldens/recorded", before)
    # 4. order of imports and format
    for cmd in (["ruff", "check", "-q", "--select", "I,RUF022", "--fix", "."], ["ruff", "format", "-q", "."]):
        subprocess.run([".venv/bin/" + cmd[0], *cmd[1:]], cwd=root)
    from wrap import wrap
    wrap(root)
    # 5. edits made after that, one patch a file
    for patch in sorted((HERE / "after").glob("*.patch")):
        text = patch.read_text("utf-8")
        back = subprocess.run(["patch", "-p1", "-R", "--dry-run", "-s", "-f"], input=text, text=True, cwd=root, capture_output=True)
        if back.returncode == 0: continue
        done = subprocess.run(["patch", "-p1", "--forward", "--no-backup-if-mismatch", "-s", "-r", "-"], input=text, text=True, cwd=root, capture_output=True)
        if done.returncode: report.append(f"patch {patch.name}: {done.stdout.strip()[-200:]}")
    for f in list(wrote):
        if (root / f).exists(): wrote[f] = sorted(set((root / f).read_text("utf-8").splitlines()) | set(wrote[f]))
    state.parent.mkdir(exist_ok=True); state.write_text(json.dumps(wrote))
    pathlib.Path(args.report).write_text("\n".join(dict.fromkeys(report)) + "\n")
    print(len(set(report)), "not placed; see", args.report)

if __name__ == "__main__": main()
