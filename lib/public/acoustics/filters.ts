/** Filters as complex responses. */
export { filterResponse as response } from "../../acoustics/filters/response";
