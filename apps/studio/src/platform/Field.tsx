import { type ReactNode, useId } from 'react';

/** A label, its control and what to know about it; the control gets the ids by the function. */
export function Field({
  label,
  hint,
  children,
}: {
  label: string;
  hint?: string | undefined;
  children: (ids: { id: string; 'aria-describedby'?: string }) => ReactNode;
}) {
  const id = useId();
  const hintId = `${id}-hint`;
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      {children(hint ? { id, 'aria-describedby': hintId } : { id })}
      {hint ? <small id={hintId}>{hint}</small> : null}
    </div>
  );
}
