import type { SessionList as Sessions } from '#core/messages/api-account';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { deviceWords } from './device-words.ts';

interface SessionListProps {
  readonly sessions: Sessions['sessions'];
  readonly busy: boolean;
  readonly end: (id: string) => void;
}

/** Where somebody is signed in, each with the button that ends it. */
export function SessionList({ sessions, busy, end }: SessionListProps) {
  const t = text.value.accounts;
  return (
    <ul class="session-list">
      {sessions.map(({ id, own, device, address, startedAt, endsAt }) => (
        <li key={id}>
          <span>
            {t.session(deviceWords(device) ?? t.unnamedDevice, address)}
            {own && <strong> ({t.thisSession})</strong>}
            <br />
            <small>{t.sessionTimes(whenText(startedAt), whenText(endsAt))}</small>
          </span>
          {!own && (
            <button type="button" disabled={busy} onClick={() => end(id)}>
              {t.endSession}
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}
