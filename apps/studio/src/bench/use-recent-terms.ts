import { useKept } from '../platform/kept-value.js';

const most = 4;

/** Keys of the terms that were used last on this device, the newest first. */
export function useRecentTerms(): readonly [readonly string[], (key: string) => void] {
  const [recent, keep] = useKept<readonly string[]>('terms used last', [], isKeys);
  return [
    recent,
    (key) => {
      if (recent[0] !== key) keep([key, ...recent.filter((one) => one !== key)].slice(0, most));
    },
  ];
}

const isKeys = (value: unknown): value is readonly string[] =>
  Array.isArray(value) && value.every((one) => typeof one === 'string');
