"""Wrap lines over 120 that the formatter leaves: docstrings, comments, texts."""
import json, pathlib, re, subprocess, sys, tokenize, io
def wrap(root):
    for _ in range(3):
        out = subprocess.run([".venv/bin/ruff","check","-q","--select","E501","--output-format","json","."],cwd=root,capture_output=True,text=True).stdout
        rows = {}
        for one in json.loads(out or "[]"): rows.setdefault(one["filename"], []).append(one["location"]["row"])
        if not rows: return
        for f, lines in rows.items():
            text = pathlib.Path(f).read_text("utf-8"); L = text.splitlines()
            doc = {}
            for t in tokenize.generate_tokens(io.StringIO(text).readline):
                if t.type == tokenize.STRING and t.string.lstrip("rf").startswith('"""'):
                    for r in range(t.start[0], t.end[0]+1): doc[r] = (t.start[0], t.end[0])
            for r in sorted(lines, reverse=True):
                l = L[r-1]; ind = re.match(r" *", l)[0]
                cut = l.rfind(" ", 0, 119)
                if cut <= len(ind): continue
                head, tail = l[:cut], l[cut+1:]
                if r in doc:
                    start, end = doc[r]
                    nxt = L[r] if r < end else ""
                    if r < end and nxt.strip() and re.match(r" *", nxt)[0] == ind and not re.match(r"\s*(-+$|\w+ : )", nxt) and nxt.strip() != '"""' :
                        L[r-1] = head; L[r] = ind + tail + " " + nxt.strip()
                    else: L[r-1] = head; L.insert(r, ind + tail)
                elif l.lstrip().startswith("#"):
                    L[r-1] = head; L.insert(r, ind + "# " + tail)
                else:
                    q = l.rfind('"')
                    first = l.find('"')
                    m = list(re.finditer(r'"(?:[^"\\]|\\.)*"', l))
                    hit = [x for x in m if x.start() < cut < x.end() - 1]
                    if hit:
                        pre = re.search(r'[rf]*$', l[:hit[0].start()])[0]
                        at = len(l[:hit[0].start()]) - len(pre)
                        cut = l.rfind(" ", hit[0].start()+1, 117)
                        L[r-1] = l[:cut+1] + '"'; L.insert(r, " "*at + pre + '"' + l[cut+1:])
            pathlib.Path(f).write_text("\n".join(L) + "\n", "utf-8")
        subprocess.run([".venv/bin/ruff","format","-q","."],cwd=root)
if __name__ == "__main__": wrap(sys.argv[1])
