/** Exercises, capstones and predictions. */
export { capstone, capstoneRows as capstones } from "../lesson/capstones/capstone";
export { exercise, exerciseRows as exercises } from "../lesson/exercises/exercise";
export { form } from "../lesson/exercises/form/form";
export { grade } from "../lesson/exercises/grade";
export { guess, guesses } from "../lesson/guesses/guess";
