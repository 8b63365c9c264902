import { chromium } from "playwright-core";
const [folder, address] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
const sizes = { phone: [390, 844], tablet: [810, 1080], laptop: [1366, 768], tv: [1920, 1080] };
for (const spec of process.env.SHOTS.split(" ")) {
  const [name, path, scroll] = spec.split("@");
  const page = await browser.newPage({ viewport: { width: sizes[name][0], height: sizes[name][1] } });
  await page.goto(address + path); await page.waitForTimeout(300);
  if (process.env.OPEN) await page.evaluate((ids) => ids.split(",").forEach((id) => { const d = document.getElementById(id); if (d) d.open = true; }), process.env.OPEN);
  await page.evaluate((y) => scrollTo(0, y), Number(scroll ?? 0)); await page.waitForTimeout(200);
  await page.screenshot({ path: `${folder}/${name}${path.replaceAll(/[\/?=&]/g, "_")}-${scroll ?? 0}.png` });
  await page.close();
}
await browser.close();
