export { clientPage } from "./client";
export { mixEngineerPage } from "./mix-engineer";
export { type Page, pageHtml } from "./page";
export { technicianPage } from "./technician";
export { reportPages, writeReports } from "./write";
