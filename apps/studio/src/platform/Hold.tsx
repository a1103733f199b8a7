import type { ReactNode } from 'react';

/** A button that works as long as it is held: by finger, mouse, Space or Enter. */
export function Hold({
  onHold,
  children,
}: {
  onHold: (held: boolean) => void;
  children: ReactNode;
}) {
  const letGo = () => {
    onHold(false);
  };
  return (
    <button
      type="button"
      className="quiet hold"
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        onHold(true);
      }}
      onPointerUp={letGo}
      onPointerCancel={letGo}
      onKeyDown={(event) => {
        if (event.key !== ' ' && event.key !== 'Enter') return;
        event.preventDefault();
        if (!event.repeat) onHold(true);
      }}
      onKeyUp={letGo}
      onBlur={letGo}
      onContextMenu={(event) => {
        // A long press on glass means holding, not a menu.
        event.preventDefault();
      }}
    >
      {children}
    </button>
  );
}
