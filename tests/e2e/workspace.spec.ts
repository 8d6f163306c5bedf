import {openOwn} from "./ownFiles.ts";
import {expect, read, settled, test} from "./watched.ts";

test("one's own logs are still open after the page is loaded again", async ({page}) => {
  await read(page);
  await openOwn(page);
  await page.reload();
  await settled(page);
  await expect(page.getByText("Open now: rebuilds.csv, runs.csv.")).toBeVisible({timeout: 20_000});
  await expect(page.getByText(/invented/i)).toHaveCount(0);
});
