/** The page of `npm run new-show`: what it shows and what it may ask for. */
import { type Actions, pageOf } from "../local-page/page";
import type { Page } from "../local-page/serve";
import type { Editing } from "./editing";

export const newShowPage = (editing: Editing): Page => ({
  ...pageOf("new-show", "new-show", editing, actions),
  state: () => editing.state(),
});

const actions: Actions<Editing> = {
  name: (editing, { name }) => editing.setName(name),
  holds: (editing, { take, holds }) => editing.setHolds(take, holds),
  track: (editing, { take, track, use, position }) => editing.setTrack(take, track, { use, position }),
  air: (editing, { take, temperature, humidity }) => editing.setAir(take, { temperature, humidity }),
  form: (editing, { form }) => editing.setForm(form),
  position: (editing, { id, x, y }) => editing.setPosition(id, x, y),
  write: (editing) => editing.write(),
};
