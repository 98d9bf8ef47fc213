export * from "./figure";
export * from "./figureHtml";
export * from "./figures/balanceOverDistance";
export * from "./figures/impulse";
export * from "./figures/levelOverDistance";
export * from "./figures/responses";
export * from "./figures/seats";
export * from "./show";
export { colours, type Theme } from "./style";
