/* Photos of a job: from the camera or a file, shrunk and written anew, so that they are small and carry no place or device with them. They are kept
 * with the job's record, but outside of what undo brings back, which would hold each of them many times over. */
import { store } from './job';
import { newId } from './keep';

/** `data`: a JPEG as a data address. */
export interface Photo { id: string; words: string; when: number; data: string; printed: boolean }

export const MOST_PHOTOS = 12;
const LONGEST_PX = 1280;
const QUALITY = 0.72;

/** What a file or a record may hold as a photo; anything else is left out. */
export function photosOf(value: unknown): Photo[] {
  if (!Array.isArray(value)) return [];
  return (value as Partial<Photo>[]).filter((one) => typeof one?.data === 'string' && /^data:image\/jpeg;base64,[A-Za-z0-9+/=]+$/.test(one.data))
    .slice(0, MOST_PHOTOS).map((one, i) => ({ id: String(one.id ?? i), words: String(one.words ?? ''), when: Number(one.when) || 0, data: one.data!, printed: one.printed === true }));
}

async function shrunk(file: File): Promise<string> {
  const picture = await createImageBitmap(file); // turned as the camera was held
  const part = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * part));
  canvas.height = Math.max(1, Math.round(picture.height * part));
  canvas.getContext('2d')!.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas.toDataURL('image/jpeg', QUALITY);
}

/** The names of the files that are no picture which this browser can read. */
export async function addPhotos(files: File[]): Promise<string[]> {
  const { id } = store.get();
  const bad: string[] = [];
  for (const file of files) {
    const data = await shrunk(file).catch(() => null);
    if (store.get().id !== id) return bad; // another job meanwhile
    const { photos } = store.get();
    if (data === null || photos.length >= MOST_PHOTOS) bad.push(file.name);
    else store.set({ photos: [...photos, { id: newId(), words: '', when: Date.now(), data, printed: photos.every((photo) => !photo.printed) }] });
  }
  return bad;
}

export function changePhoto(id: string, part: Partial<Pick<Photo, 'words' | 'printed'>>): void {
  store.set({ photos: store.get().photos.map((photo) => (photo.id === id ? { ...photo, ...part } : photo)) });
}

export const dropPhoto = (id: string): void => store.set({ photos: store.get().photos.filter((photo) => photo.id !== id) });

/** A photo that was taken away, back in its place. */
export function returnPhoto(photo: Photo, at: number): void {
  const { photos } = store.get();
  store.set({ photos: [...photos.slice(0, at), photo, ...photos.slice(at)] });
}
