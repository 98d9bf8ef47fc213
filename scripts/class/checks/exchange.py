"""An assignment goes the whole way through a running class: released, fetched and handed in by real accounts, collected and
marked; and nobody reads what is not theirs.

As root, beside `npm run class -- … --passwords FILE`, in which each student's password is "a password of NAME", with two students and a
folder for the instructor that does not exist yet:

    .venv-class/bin/python scripts/class/checks/exchange.py --address http://127.0.0.1:8000 --student NAME --other NAME \\
        --folder CLASS-FOLDER --grading NEW-FOLDER
"""

import argparse
import asyncio
import csv
import io
import json
import os
import re
import subprocess
import zipfile

from student import ROOT, Student, need

NAME = "one-decision"
NOTEBOOK = f"{NAME}/{NAME}.ipynb"


def grade(given, *words):
    places = ["--folder", given.grading, "--exchange", os.path.join(given.folder, "exchange")]
    run = subprocess.run(["npm", "run", "--silent", "grade", "--", *words, *places], cwd=ROOT, capture_output=True, text=True)
    need(run.returncode == 0, f"grade {words[0]}: {run.stdout[-300:]} {run.stderr[-600:]}")


def source_of(cell):
    return cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])


def can(account, command, place):
    """Whether an account can do something with a place; the shell opens it, with the account's rights alone."""
    words = [f"--reuid={account}", f"--regid={account}", "--init-groups", "--reset-env", "/bin/sh", "-c", command, str(place)]
    return subprocess.run(["setpriv", *words], capture_output=True).returncode == 0


async def assignments(student, what, status=None):
    """What the page's list of assignments asks of the student's server."""
    path = f"{student.base}assignments{what}"
    if not what:
        answer = await student.ask(f"{path}?course_id=evenground")
    else:
        answer = await student.ask(path, "POST", form={"course_id": "evenground", "assignment_id": NAME})
    need(answer.code == 200, f"{path} answers {answer.code}")
    told = json.loads(answer.body)
    need(told.get("success"), f"{path}: {told}")
    found = [one for one in told["value"] if one["assignment_id"] == NAME]
    if status:
        need(any(one["status"] == status for one in found), f"{NAME} is not {status} in the list: {[o['status'] for o in found]}")
    return found


async def released(given, student, other):
    grade(given, "release", NAME)
    await assignments(student, "", "released")


async def fetched_and_solved(given, student, other):
    await assignments(student, "/fetch", "fetched")
    notebook = (await student.open(NOTEBOOK))["content"]
    text = json.dumps(notebook)
    grade(given, "key", NAME)
    with open(os.path.join(given.grading, "key", f"{NAME}.md")) as file:
        ways = dict(re.findall(r"^## (\S+) .*?^```ts\n(.*?)^```$", file.read(), re.MULTILINE | re.DOTALL))
    need(len(ways) == 4, f"the key has {len(ways)} ways")
    for exercise, way in ways.items():
        need(way.strip() not in text, "the student's copy holds a solution")
        [cell] = [cell for cell in notebook["cells"] if cell.get("id") == f"{exercise}-way"]
        head, first = source_of(cell).split("\n")[:2]
        cell["source"] = f"{head} changed\n{first}\n{way}}};"
    await student.save(NOTEBOOK, notebook)


async def handed_in(given, student, other):
    await assignments(student, "/submit", "submitted")
    # One who hands in what was fetched, untouched.
    await assignments(other, "/fetch", "fetched")
    await assignments(other, "/submit", "submitted")


async def kept_apart(given, student, other):
    """The other student, with an account and a session, asks for everything that is not theirs."""
    inbound = os.path.join(given.folder, "exchange", "evenground", "inbound")
    need(not can(other.name, 'ls "$0"', inbound), "a student can list what was handed in")
    # What is handed in must be readable to an instructor's account, whichever it is: nbgrader lays it under a name that
    # nobody can list or guess.
    handed = [name for name in os.listdir(inbound) if name.startswith(f"{student.name}+")]
    need(handed, "nothing was handed in")
    for name in handed:
        need(re.fullmatch(r".*\+[\w-]{12,}", name), f"{name} can be guessed")
    private = [os.path.join(given.folder, "work", student.name, "course", NOTEBOOK)]
    grade(given, "collect", NAME)
    for place in (f"key/{NAME}.md", f"submitted/{student.name}/{NAME}/{NAME}.ipynb"):
        file = os.path.join(given.grading, place)
        need(os.path.exists(file), f"{file} is not there: nothing would be tried")
        private.append(file)
    for file in private:
        need(os.path.isfile(file) and not can(other.name, 'cat "$0"', file), f"{other.name} can read {file}")
    released = os.path.join(given.folder, "exchange", "evenground", "outbound", NAME, f"{NAME}.ipynb")
    need(can(other.name, 'cat "$0"', released), "not even the released copy can be read: nothing was tried")
    need(not can(other.name, 'echo x >> "$0"', released), "a student can write into the released copy")
    answer = await other.ask(f"/user/{student.name}/api/contents/{NOTEBOOK}")
    need(answer.code in (403, 404), f"{other.name} asks for {student.name}'s notebook and gets {answer.code}")


async def collected_and_marked(given, student, other):
    grade(given, "collect", NAME)
    grade(given, "mark", NAME)
    grade(given, "misconceptions")
    with open(os.path.join(given.grading, "marks.csv")) as file:
        marks = {row["student"]: (float(row["points"]), float(row["of"])) for row in csv.DictReader(file)}
    score, most = marks[student.name]
    # what a person gives for their own words is still to come
    need(score == most - 4 > 0, f"who solved it has {score} of {most}")
    need(marks[other.name][0] == 0, f"who wrote nothing has {marks[other.name][0]}")
    print(f"marks: {marks}")


async def feedback_fetched(given, student, other):
    grade(given, "feedback", NAME)
    await assignments(student, "/fetch_feedback")
    course = os.path.join(given.folder, "work", student.name, "course", NAME, "feedback")
    pages = [os.path.join(place, name) for place, _, names in os.walk(course) for name in names]
    need(len(pages) == 1, f"{len(pages)} pages of feedback were fetched")
    feedback = os.path.join(given.folder, "exchange", "evenground", "feedback")
    need(not can(other.name, 'ls "$0"', feedback), "a student can list everybody's feedback")


async def taken_home(given, student, other):
    answer = await student.ask(f"{student.base}take-home")
    need(answer.code == 200, f"take-home answers {answer.code}")
    with zipfile.ZipFile(io.BytesIO(answer.body)) as archive:
        names = archive.namelist()
        need(not [name for name in names if re.search(r'[<>:"|?*\\]', name)], "a name that Windows has not")
        need(any("/feedback/" in name for name in names), "the feedback stays behind")
        notebook = archive.read(f"evenground-work/{NOTEBOOK}").decode()
    need("changed" in notebook, "what was changed is not in it")


async def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--address", default="http://127.0.0.1:8000")
    for name in ("student", "other", "folder", "grading"):
        options.add_argument(f"--{name}", required=True)
    given = options.parse_args()
    need(not os.path.exists(given.grading), f"{given.grading} is there already")
    both = [Student(given.address.rstrip("/"), name) for name in (given.student, given.other)]
    for one in both:
        await one.log_in()
        await one.start_server()
    steps = [released, fetched_and_solved, handed_in, kept_apart, collected_and_marked, feedback_fetched, taken_home]
    done = 0
    for step in steps:
        try:
            await step(given, *both)
        except Exception as error:
            print(f"{step.__name__.replace('_', ' ')}: {type(error).__name__} {error}", flush=True)
            break
        done += 1
        print(f"{step.__name__.replace('_', ' ')}: as it should be", flush=True)
    print(f"{done} passed, {len(steps) - done} failed")
    return 0 if done == len(steps) else 1


if __name__ == "__main__":
    raise SystemExit(asyncio.run(main()))
