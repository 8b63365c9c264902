// @ts-check
// A paper as a reader of PDF reads it.
import assert from "node:assert/strict";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";

/** The text of every sheet of a paper.
 *  @param {string} address @param {string} path @returns {Promise<string[]>} */
export async function sheets(address, path) {
  const answer = await fetch(new URL(path, address));
  assert.equal(answer.status, 200, path);
  assert.equal(answer.headers.get("content-type"), "application/pdf");
  const data = new Uint8Array(await answer.arrayBuffer());
  const pdf = await getDocument({ data, verbosity: 0 }).promise;
  const texts = [];
  for (let number = 1; number <= pdf.numPages; number += 1) {
    const content = await (await pdf.getPage(number)).getTextContent();
    texts.push(content.items.map((item) => ("str" in item ? item.str : "")).join(" ").replace(/\s+/g, " "));
  }
  return texts;
}
