import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Side } from '#core/messages/common';
import { ACTIONS, NAMED_CHANNELS, type NamedChannel, type TrainingAction } from '#core/training/names';
import { useApp } from '../../app-context.ts';
import type { SideView } from '../../data/side-view.ts';
import { OriginMark } from '../../parts/training-banner.tsx';
import { text } from '../../text/text.ts';
import { sentenceOf } from '../changes/use-read.ts';
import { actionWords, channelWords, whereWords } from '../training/training-words.ts';

/** The server takes a mark back to its first tap, at most so far, ms. */
const LONGEST_AGO_MS = 60_000;

interface FirstTap {
  readonly side: Side;
  readonly atMs: number;
  readonly monotonicMs: number;
  /** Null: not known here; then the server takes where it last heard the side. */
  readonly alongMm: number | null;
}

/** "Something is wrong here", while a lesson runs: the tile says the side, two more taps say what and what to do. */
export function MarkButton({ view }: { readonly view: SideView }) {
  const { training } = useApp();
  const [tap, setTap] = useState<FirstTap | null>(null);
  const t = text.value.training.mark;
  const session = training.session.value;
  if (!training.isOn || training.key.held.value !== null || session === null) return null;
  if (session.state !== 'running' && session.state !== 'frozen') return null;
  const side = session.rigs.find(({ rig }) => rig === view.rig)?.side ?? view.work?.side ?? null;
  if (side === null || view.origin === 'real') return null;
  return (
    <>
      <button
        class="tile-action mark-open"
        type="button"
        aria-haspopup="dialog"
        onClick={() =>
          setTap({
            side,
            atMs: Date.now(),
            monotonicMs: performance.now(),
            alongMm: view.feed.cause === null ? (view.position?.alongMm ?? null) : null,
          })
        }
      >
        <span aria-hidden="true">⚑ </span>
        {t.open}
        <span class="sr-only"> {whereWords({ rig: view.rig, side })}</span>
      </button>
      {tap !== null && <MarkSheet rig={view.rig} tap={tap} close={() => setTap(null)} />}
    </>
  );
}

interface MarkSheetProps {
  readonly rig: string;
  readonly tap: FirstTap;
  readonly close: () => void;
}

function MarkSheet({ rig, tap, close }: MarkSheetProps) {
  const { training } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  const title = useRef<HTMLHeadingElement>(null);
  const [channel, setChannel] = useState<NamedChannel | null>(null);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const t = text.value.training.mark;
  const where = whereWords({ rig, side: tap.side });
  useLayoutEffect(() => dialog.current?.showModal(), []);
  // The focus follows the question, before anybody can press a key.
  useLayoutEffect(() => title.current?.focus(), [channel]);

  async function keep(action: TrainingAction): Promise<void> {
    setBusy(true);
    setFailure(null);
    const { side, alongMm, atMs } = tap;
    const agoMs = Math.min(LONGEST_AGO_MS, Math.round(performance.now() - tap.monotonicMs));
    try {
      const place = alongMm === null ? {} : { alongMm };
      await training.mark({ rig, side, channel, action, agoMs, ...place }, atMs);
      close();
    } catch (error) {
      setFailure(t.failed(sentenceOf(error)));
      setBusy(false);
    }
  }

  return (
    <dialog class="mark-sheet" ref={dialog} aria-labelledby="mark-title" onClose={close}>
      <p>
        <OriginMark replay={training.session.value?.lesson.replay === true} />
      </p>
      <h2 id="mark-title" tabIndex={-1} ref={title}>
        {channel === null ? t.what(where) : t.act(where, channelWords(channel))}
      </h2>
      <div class="mark-answers">
        {channel === null
          ? NAMED_CHANNELS.map(one => (
              <button key={one} type="button" onClick={() => setChannel(one)}>
                {channelWords(one)}
              </button>
            ))
          : ACTIONS.map(one => (
              <button key={one} type="button" disabled={busy} onClick={() => void keep(one)}>
                {actionWords(one)}
              </button>
            ))}
      </div>
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <p class="hint">{busy ? t.keeping : t.note}</p>
      <p class="mark-ways">
        {channel !== null && (
          <button type="button" disabled={busy} onClick={() => setChannel(null)}>
            {t.back}
          </button>
        )}
        <button type="button" onClick={close}>
          {t.cancel}
        </button>
      </p>
    </dialog>
  );
}
