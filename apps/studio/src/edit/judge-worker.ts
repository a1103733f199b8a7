/** Builds the drawing beside the screen: a big net takes longer than a frame. */
import { type Drawing, judgeDrawing, type Net, sayNetChange } from '#libs/net';
import type { Judged, JudgeTask } from './judge-desk.js';

let earlier: Net | null = null;

const judge = (drawing: Drawing, before: Net): Omit<Judged, 'drawing'> => {
  const { net, troubles } = judgeDrawing(drawing, before);
  return { net, troubles, change: net ? sayNetChange(before, net) : null };
};

addEventListener('message', ({ data }: MessageEvent<JudgeTask>) => {
  if (data.earlier) earlier = data.earlier;
  if (!earlier) return;
  (postMessage as (answer: unknown) => void)({
    turn: data.turn,
    judged: judge(data.drawing, earlier),
  });
});
