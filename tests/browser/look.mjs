// Pictures of every page at the sizes it is read at: node look.mjs FOLDER [ADDRESS].
import { chromium } from "playwright-core";

const [folder = "shots", address = "http://127.0.0.1:8080"] = process.argv.slice(2);
const sizes = { phone: [390, 844], tablet: [810, 1080], laptop: [1366, 768], tv: [1920, 1080] };
const pages = (process.env.PAGES ?? "/,/floor,/floor/1,/floor/2,/floor/3,/floor/4,/wall,/athlete/A04").split(",");
const only = process.env.SIZES?.split(",");

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"],
});
for (const [name, [width, height]] of Object.entries(sizes)) {
  if (only && !only.includes(name)) continue;
  const page = await browser.newPage({ viewport: { width, height } });
  for (const path of pages) {
    await page.goto(address + path);
    await page.waitForTimeout(300);
    const file = `${folder}/${path.replaceAll("/", "_")}-${name}.png`;
    await page.screenshot({ path: file, fullPage: path.startsWith("/athlete") || path.startsWith("/squad") || path === "/" });
  }
  await page.close();
}
await browser.close();
