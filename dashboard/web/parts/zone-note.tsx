import { useApp } from '../app-context.ts';
import { format, text } from '../text/text.ts';

/** Said once on a device whose own clock is set to another zone than the job's. */
export function ZoneNote() {
  const { zone } = useApp();
  const t = text.value.settings;
  const device = zone.differs.value;
  if (device === null) return null;
  return (
    <div class="zone-note" role="status">
      <p>{t.zoneDiffers(format().zone, device)}</p>
      <button type="button" onClick={() => zone.understood()}>
        {t.understood}
      </button>
    </div>
  );
}
