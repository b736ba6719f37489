// A beep made by the phone itself: no sound file. Browsers are silent until the first tap on the page.

let sound = null;

export async function unlockSound() {
  const Sound = self.AudioContext ?? self.webkitAudioContext;
  if (!Sound) {
    return;
  }
  sound ??= new Sound();
  await sound.resume().catch(() => {});
}

export const canHear = () => sound !== null && sound.state === "running";

// Three rising tones, a second in all.
export function beep() {
  if (!canHear()) {
    return false;
  }
  [660, 880, 1100].forEach((pitch, i) => tone(pitch, sound.currentTime + i * 0.33));
  return true;
}

function tone(pitch, at) {
  const source = sound.createOscillator();
  const volume = sound.createGain();
  source.frequency.value = pitch;
  volume.gain.setValueAtTime(0.0001, at);
  volume.gain.exponentialRampToValueAtTime(0.5, at + 0.03);
  volume.gain.exponentialRampToValueAtTime(0.0001, at + 0.3);
  source.connect(volume).connect(sound.destination);
  source.start(at);
  source.stop(at + 0.32);
}
