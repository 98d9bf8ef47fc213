// @ts-check
/** Before a student's server starts, under the student's account: the lessons come into the work folder as at `npm start`. */
import { inRoot } from "../../setup/places.mjs";
import { linkModules } from "../../work/folder.mjs";
import { handOut } from "../../work/hand-out.mjs";

const folder = process.argv[2];
handOut(inRoot("notebooks"), folder);
linkModules(folder);
