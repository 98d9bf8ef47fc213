/** Filters as complex responses. */
export { filterGroupDelay as groupDelay, filterResponse as response } from "../../acoustics/filters/response";
