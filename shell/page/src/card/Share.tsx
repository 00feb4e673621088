/* The job as a link that holds it, and as a code that another phone reads off this screen. */
import { useState } from 'preact/hooks';
import { encode } from 'uqr';
import { MAY_HAVE_SERVER } from '../core/core';
import { useWords } from '../i18n/words';
import { linkOf } from '../state/share';

/* What a code can hold at most (ISO/IEC 18004, version 40, lowest correction, bytes). */
const MOST_BYTES = 2953;

export function QrCode({ text, label }: { text: string; label: string }) {
  const { data, size } = encode(text, { ecc: 'L', border: 4 });
  const path = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
  return (
    <svg class="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={label} shape-rendering="crispEdges">
      <rect class="qr-ground" width={size} height={size} /><path class="qr-dots" d={path} />
    </svg>
  );
}

export function Share() {
  const t = useWords();
  const [link, setLink] = useState('');
  const [copied, setCopied] = useState(false);
  if (typeof CompressionStream !== 'function' || !MAY_HAVE_SERVER) return null; // the address of a stick leads nowhere
  const copy = (): void => void navigator.clipboard?.writeText(link).then(() => setCopied(true));
  return (
    <section class="share">
      <button type="button" class="quiet" onClick={() => void linkOf().then(setLink)}>{t('share.make')}</button>
      {link && (
        <>
          <p class="says">{t('share.says')}</p>
          <label for="share-link">{t('share.link')}</label>
          <div class="row">
            <input id="share-link" type="text" readOnly value={link} onFocus={(event) => event.currentTarget.select()} />
            {navigator.clipboard && <button type="button" onClick={copy}>{t(copied ? 'share.copied' : 'share.copy')}</button>}
          </div>
          {link.length <= MOST_BYTES ? <QrCode text={link} label={t('share.qr')} /> : <p class="warning">{t('share.long')}</p>}
        </>
      )}
    </section>
  );
}
