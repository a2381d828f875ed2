import type { ComponentChildren } from 'preact';

interface FieldFrameProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly error: string | null;
  readonly input: ComponentChildren;
  /** Below the field. */
  readonly children?: ComponentChildren;
}

/** What ties hint and error to the input for a screen reader. */
export function fieldAttributes({ id, hint, error }: Pick<FieldFrameProps, 'id' | 'hint' | 'error'>) {
  const described = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(error === null ? [] : [`${id}-error`]),
  ];
  return {
    id,
    'aria-invalid': error !== null,
    ...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') }),
  };
}

/** One labelled input with its hint and its error. */
export function FieldFrame({ id, label, hint, error, input, children }: FieldFrameProps) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {input}
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
      {children}
    </div>
  );
}
