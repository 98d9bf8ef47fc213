"""Points of a check cell, from the line that the check printed.

The TypeScript kernel prints numbers; nbgrader wants a value as a cell's result. The line bears a word that stands in the
cell's own hidden part, so that nothing that a student prints can pass for it. A cell that should have given points and
did not is worth nothing.
"""

import re

from nbformat.v4 import new_output
from nbgrader.preprocessors import NbGraderPreprocessor

ASKED = re.compile(r'\.points\(([\d.]+), "([0-9a-f]+)"\)')


class GivePoints(NbGraderPreprocessor):
    def preprocess_cell(self, cell, resources, index):
        asked = ASKED.search(cell.source) if cell.cell_type == "code" else None
        if asked is None or not cell.metadata.get("nbgrader", {}).get("grade"):
            return cell, resources
        most, word = asked.groups()
        printed = "\n".join(
            o.text for o in cell.outputs if o.output_type == "stream" and o.name == "stdout"
        )
        given = re.findall(rf"^points ([\d.]+) of [\d.]+ {word} ", printed, re.MULTILINE)
        failed = [o for o in cell.outputs if o.output_type == "error"]
        if given and not failed:
            points = min(float(given[-1]), float(most))
            result = new_output("execute_result", {"text/plain": str(points)}, execution_count=cell.execution_count)
            cell.outputs.insert(0, result)
        elif not failed:
            cell.outputs.append(new_output("error", ename="NoPoints", evalue="no points were given", traceback=[]))
        return cell, resources
