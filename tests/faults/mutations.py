#!/usr/bin/env python3
"""Takes each guard of the store out in turn and checks that a test of tests/shop_faults.rs fails.

Run from the repository's root, with everything committed: python3 tests/faults/mutations.py
Each file is put back afterwards.
"""
import pathlib
import subprocess
import sys

# Of each file its guards: what it guards, the text that does it, and what stands there without it.
GUARDS = {
    "src/shop/log.rs": [
        ("the sync in append", ".and_then(|()| file.sync()) {\n            // Taking back", " {\n            // Taking back"),
        ("the sync in mend", "write_whole(file.as_mut(), line_end).and_then(|()| file.sync())", "write_whole(file.as_mut(), line_end)"),
        ("the cut-off after a failed append", "            let _ = file.cut_off(self.good_length);\n            return Err(self.failed(source));", "            return Err(self.failed(source));"),
        ("the cut-off after a failed mend", "            let _ = file.cut_off(self.good_length);\n            return Err(error);", "            return Err(error);"),
        ("the refusal after a failure", "        self.writer = Err(ReadOnly::Failed(source.to_string()));\n", ""),
        ("never a second sync", ".and_then(|()| file.sync()) {\n            // Taking back", ".and_then(|()| file.sync().or_else(|_| file.sync())) {\n            // Taking back"),
        ("setting the torn line aside", "let aside = self.set_aside(files, torn)?;", "let aside = String::new();"),
        ("cutting the torn line off", "            file.cut_off(self.good_length)?;\n", ""),
        ("the length before a write", "Ok(length) if length == self.good_length => {}", "Ok(_) if true => {}"),
        ("the sync of the folder", "        files.sync_dir(self.path.parent().unwrap_or(Path::new(\".\")))?;\n", ""),
    ],
    "src/shop/contents.rs": [
        ("the format word first", "            && found != FORMAT\n", "            && found.is_empty()\n"),
        ("the whole line within a torn one", "if let Some(end) = line::whole_line_within(text) {", "if let Some(end) = line::whole_line_within(text).filter(|_| false) {"),
    ],
    "src/shop/line.rs": [
        ("the checksum", "if computed != found {", "if computed.is_empty() {"),
    ],
}


def main():
    survived = []
    guards = [(file, *guard) for file, of_file in GUARDS.items() for guard in of_file]
    for file, name, old, new in guards:
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
