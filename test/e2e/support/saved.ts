import { join } from 'node:path';
import type { Page } from 'playwright-core';

/** Path of the file that an act on the screen saves. */
export async function saved(page: Page, act: () => Promise<void>, folder: string): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent('download', { timeout: 60_000 }), act()]);
  const path = join(folder, download.suggestedFilename());
  await download.saveAs(path);
  return path;
}
