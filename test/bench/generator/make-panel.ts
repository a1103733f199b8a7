/** The panel of a recipe, in its own frame, with all that happened to it. */
import type { Curve, Design } from './curve.js';
import { overshoot } from './designs/figure.js';
import { STYLES } from './designs/index.js';
import { splitRegion } from './designs/split-region.js';
import { developedNet, withFoil, withOpenEnds } from './panel-changes.js';
import { type PanelNet, panelNet } from './panel-net.js';
import { insetRing } from './polyline.js';
import type { RandomStream } from './random-stream.js';
import type { CaseRecipe } from './recipe.js';

/** @param random the recipe's stream; panel and plate of one number share outer came and distortion */
export function makePanel(random: RandomStream, recipe: CaseRecipe): PanelNet {
  let net = soundPanel(random, recipe);
  if (recipe.foil) {
    const graph = withFoil(random.branch('foil'), net.graph);
    net = { ...net, graph };
  }
  if (recipe.openEnds) net = withOpenEnds(random.branch('open ends'), net, recipe.openEnds);
  return recipe.bulge ? developedNet(net, recipe.bulge) : net;
}

/** Drawn again until the net is one connected plane graph (a hand-drawn design now and then folds on itself). */
function soundPanel(random: RandomStream, recipe: CaseRecipe): PanelNet {
  for (let attempt = 0; attempt < 20; attempt++) {
    const design = STYLES[recipe.style](random.branch(`design ${attempt}`), recipe.sizeMm);
    const net = panelNet(random.branch(`panel ${attempt}`), design, recipe.straps);
    if (!isSound(net)) continue;
    if (!recipe.plate) return net;
    for (let again = 0; again < 20; again++) {
      const plate = plateBehind(random.branch(`plate ${again}`), design);
      const back = panelNet(random.branch(`panel ${attempt}`), plate);
      if (isSound(back)) return back;
    }
  }
  throw new Error(`no sound ${recipe.style} panel in 20 attempts`);
}

function isSound({ graph, faces }: PanelNet): boolean {
  const connected = graph.nodes.length - graph.leads.length + faces.faces.length === 1;
  return connected && faces.sides.every(([left, right]) => left !== right);
}

/** A few large plates within the same outer came. */
function plateBehind(random: RandomStream, design: Design): Design {
  const outer = design.curves.filter((c) => c.kind === 'outer');
  const region = insetRing(outer[0]!.line.slice(0, -1), 0.01);
  const widthMm = random.pick([5, 6]);
  const inner = splitRegion(random, region, {
    pieces: random.whole(6, 11),
    bow: 0.06,
    clearanceMm: 16,
  }).map((line): Curve => ({ line: overshoot(line, 0.6), widthMm, kind: 'inner' }));
  return { ...design, curves: [...outer, ...inner] };
}
