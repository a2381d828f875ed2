import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';

/** That a joint is on hold, wherever it appears. Nothing while it is not. */
export function HoldMark({ joint }: { readonly joint: string }) {
  const hold = useApp().holds.of(joint);
  if (hold === null) return null;
  return (
    <strong class="hold-mark" title={hold.reason}>
      {text.value.joints.onHold}
    </strong>
  );
}
