/** The two browsers in which the course runs without an installation, each as its maker builds it. */
import { existsSync } from "node:fs";
import { type Browser, firefox } from "playwright-core";
import { openBrowser } from "./chromium";

export const browsers: readonly (readonly [name: string, open: () => Promise<Browser>])[] = [
  ["Chromium", openBrowser],
  ["Firefox", openFirefox],
];

/** Debian's, or the one that FIREFOX names. */
async function openFirefox(): Promise<Browser> {
  const file = [process.env.FIREFOX, "/usr/bin/firefox-esr", "/usr/bin/firefox"].find(
    (one) => one && existsSync(one),
  );
  if (!file) throw new Error("no Firefox found: install it, or name its file in FIREFOX");
  const browser = await firefox.launch({ channel: "moz-firefox", executablePath: file });
  withoutEmulatedMedia(browser);
  return browser;
}

/**
 * The driver wishes to set colours and motion in each context, which an older Firefox refuses, and the context with it.
 * These tests set neither.
 */
function withoutEmulatedMedia(browser: Browser): void {
  type Session = { send(method: string, content: object): Promise<unknown> };
  const { _connection: connection } = browser as unknown as {
    readonly _connection: { toImpl(of: Browser): { readonly _browserSession: Session } };
  };
  const session = connection.toImpl(browser)._browserSession;
  const send = session.send.bind(session);
  session.send = async (method, content) =>
    method === "emulation.setMediaFeaturesOverride" ? {} : send(method, content);
}
