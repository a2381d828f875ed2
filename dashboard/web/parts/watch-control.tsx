import { MUTE_MS } from '#core/alarm/alarm-sound';
import { useApp } from '../app-context.ts';
import { durationText } from '../text/format.ts';
import { text } from '../text/text.ts';

/** Sound and screen of this device: off until a person taps, muted for a time, always in words. */
export function WatchControl() {
  const { watch, screen } = useApp();
  const t = text.value.alarms.watch;
  const sound = watch.sound.value;
  const left = watch.muteLeftS.value;
  const start = (): void => {
    void watch.start();
    void screen.setAwake(true);
  };
  const stop = (): void => {
    void watch.stop();
    if (screen.awake.peek() !== 'unavailable') void screen.setAwake(false);
  };
  return (
    <section class="watch" aria-label={t.label}>
      {sound === 'unavailable' && <p class="watch-state off">{t.unavailable}</p>}
      {(sound === 'off' || sound === 'lost') && (
        <>
          <p class="watch-state off">{sound === 'lost' ? t.lost : t.off}</p>
          <button type="button" title={t.hint} onClick={start}>
            {t.start}
          </button>
        </>
      )}
      {sound === 'on' && (
        <>
          <p class={left === null ? 'watch-state' : 'watch-state off'}>
            {left === null ? t.on : t.muted(durationText(left))}
            {screen.awake.value !== 'on' && <small> {t.screenSleeps}</small>}
          </p>
          {left === null ? (
            <button type="button" title={t.muteNote} onClick={() => watch.mute()}>
              {t.mute(MUTE_MS / 60_000)}
            </button>
          ) : (
            <button type="button" onClick={() => watch.unmute()}>
              {t.unmute}
            </button>
          )}
          <button type="button" onClick={stop}>
            {t.stop}
          </button>
        </>
      )}
    </section>
  );
}
