/** Where people listen in a venue, and a venue with something left out. */
export { frontOfHousePositions as zone, namedPositions as positions, seats } from "../venue/seats";
export { without } from "../venue/without";
