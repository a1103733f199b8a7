import axe from 'axe-core';
import type { Page } from 'playwright-core';

interface Violation {
  readonly id: string;
  readonly nodes: readonly {
    readonly target: readonly unknown[];
    readonly failureSummary?: string;
  }[];
}

/**
 * What axe-core finds on the screen that breaks WCAG 2.2 A or AA, one line a place. Contrast over a
 * canvas is beyond it; the palette's pairs are checked in apps/studio.
 */
export async function barriers(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const violations = await page.evaluate(async () => {
    const run = (
      globalThis as unknown as {
        axe: { run(how: unknown): Promise<{ violations: Violation[]; passes: unknown[] }> };
      }
    ).axe;
    const answer = await run.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'],
    });
    if (answer.passes.length === 0) throw new Error('axe-core looked at nothing');
    return answer.violations;
  });
  return violations.flatMap((violation) =>
    violation.nodes.map(
      (node) => `${violation.id} at ${String(node.target[0])}: ${node.failureSummary ?? ''}`,
    ),
  );
}
