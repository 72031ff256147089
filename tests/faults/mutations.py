#!/usr/bin/env python3
"""Takes each guard of the store out in turn and checks that a test of tests/shop_faults.rs fails.

Run from the repository's root, with everything committed: python3 tests/faults/mutations.py
Each file is put back afterwards.
"""
import pathlib
import subprocess
import sys

LOG = "src/shop/log.rs"
GUARDS = [
    ("the sync in append", LOG, ".and_then(|()| file.sync()) {\n            // Taking back", " {\n            // Taking back"),
    ("the sync in mend", LOG, "write_whole(file.as_mut(), line_end).and_then(|()| file.sync())", "write_whole(file.as_mut(), line_end)"),
    ("the cut-off after a failed append", LOG, "            let _ = file.cut_off(self.good_length);\n            return Err(self.failed(source));", "            return Err(self.failed(source));"),
    ("the cut-off after a failed mend", LOG, "            let _ = file.cut_off(self.good_length);\n            return Err(error);", "            return Err(error);"),
    ("the refusal after a failure", LOG, "        self.writer = Err(ReadOnly::Failed(source.to_string()));\n", ""),
    ("never a second sync", LOG, ".and_then(|()| file.sync()) {\n            // Taking back", ".and_then(|()| file.sync().or_else(|_| file.sync())) {\n            // Taking back"),
    ("setting the torn line aside", LOG, "let aside = self.set_aside(files, torn)?;", "let aside = String::new();"),
    ("cutting the torn line off", LOG, "            file.cut_off(self.good_length)?;\n", ""),
    ("the length before a write", LOG, "Ok(length) if length == self.good_length => {}", "Ok(_) if true => {}"),
    ("the format word first", LOG, "            && found != FORMAT\n", "            && found.is_empty()\n"),
    ("the whole line within a torn one", LOG, "if let Some(end) = line::whole_line_within(text) {", "if let Some(end) = line::whole_line_within(text).filter(|_| false) {"),
    ("the sync of the folder", LOG, "        files.sync_dir(self.path.parent().unwrap_or(Path::new(\".\")))?;\n", ""),
    ("the checksum", "src/shop/line.rs", "if computed != found {", "if computed.is_empty() {"),
]


def main():
    survived = []
    for name, file, old, new in GUARDS:
        path = pathlib.Path(file)
        text = path.read_text()
        if text.count(old) != 1:
            sys.exit(f"{name}: the guard's text stands {text.count(old)} times in {file}; mend this script")
        path.write_text(text.replace(old, new))
        try:
            ended = subprocess.run(["cargo", "test", "-q", "--test", "shop_faults"], capture_output=True, text=True)
        finally:
            path.write_text(text)
        failed = sorted({line.split()[1] for line in ended.stdout.splitlines() if line.startswith("---- ")})
        built = "test result" in ended.stdout
        word = "NOT BUILT" if not built else ("caught by " + ", ".join(failed) if failed else "SURVIVED")
        print(f"{name}: {word}", flush=True)
        if not built or not failed:
            survived.append(name)
    sys.exit(f"{len(survived)} not caught: {', '.join(survived)}" if survived else 0)


if __name__ == "__main__":
    main()
