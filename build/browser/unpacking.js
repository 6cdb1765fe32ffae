// @ts-check
// Unpacks what the build has packed by LZMA: a quarter smaller than with gzip, which is all that
// browsers undo by themselves.
//
// The method is the open one of the .lzma files: a dictionary coder whose choices are told by a
// range coder with a probability for each kind of choice. The whole file is known to fit into memory
// and its size is known, so what was unpacked is the dictionary.

const HEAD = 13;
// Behind the head: a byte that says nothing, and four that the range coder starts with.
const FIRST_BYTES = 5;
// No single choice takes more of what is packed.
const LARGEST_CHOICE = 24;
const STATES = 12;
const POSITION_STATES = 16;
const HALF = 1024;

// Where the probabilities of each kind of choice begin.
const IS_MATCH = 0;
const IS_AGAIN = IS_MATCH + STATES * POSITION_STATES;
const IS_OLDER = IS_AGAIN + STATES;
const IS_OLDER_THAN_SECOND = IS_OLDER + STATES;
const IS_FOURTH = IS_OLDER_THAN_SECOND + STATES;
const IS_LONG = IS_FOURTH + STATES;
const SLOTS = IS_LONG + STATES * POSITION_STATES;
const FOOTS = SLOTS + 4 * 64;
const ALIGN = FOOTS + 128;
const LENGTH = ALIGN + 16;
const MIDDLE = 2 + POSITION_STATES * 8;
const LONGEST = MIDDLE + POSITION_STATES * 8;
const LENGTH_AGAIN = LENGTH + LONGEST + 256;
const LITERALS = LENGTH_AGAIN + LONGEST + 256;

/**
 * @typedef {object} Unpacker
 * @property {(part: Uint8Array<ArrayBuffer> | null) => Uint8Array<ArrayBuffer>} take takes the next packed
 *   part, null after the last, and gives what that adds; throws a RangeError where it is no such file
 * @property {Uint8Array<ArrayBuffer>} whole the unpacked file, once all parts were taken
 */

/**
 * Unpacks a file that comes in parts.
 * @param {number} size of the unpacked file
 * @returns {Unpacker}
 */
export function unpacker(size) {
  const output = new Uint8Array(size);
  let probabilities = new Uint16Array(0);
  let input = new Uint8Array(0);
  let next = 0;
  let isStarted = false;
  let written = 0;
  let range = -1;
  let code = 0;
  let [literalBits, literalMask, positionMask] = [0, 0, 0];
  let state = 0;
  let [first, second, third, fourth] = [0, 0, 0, 0];

  /** @param {number} at the place of its probability */
  function choice(at) {
    const probability = probabilities[at];
    const bound = Math.imul(range >>> 11, probability);
    let taken = 0;
    if (code >>> 0 < bound >>> 0) {
      range = bound;
      probabilities[at] = probability + ((2048 - probability) >>> 5);
    } else {
      range -= bound;
      code -= bound;
      probabilities[at] = probability - (probability >>> 5);
      taken = 1;
    }
    if (range >>> 24 === 0) {
      range <<= 8;
      code = (code << 8) | input[next++];
    }
    return taken;
  }

  /**
   * A tree of choices, the highest bit first: most of the time is spent here, so the loop keeps what it
   * works with to itself.
   * @param {number} at @param {number} from the branch to start at @param {number} end of the tree
   */
  function tree(at, from, end) {
    let [node, width, value, place] = [from, range, code, next];
    while (node < end) {
      const probability = probabilities[at + node];
      const bound = Math.imul(width >>> 11, probability);
      if (value >>> 0 < bound >>> 0) {
        width = bound;
        probabilities[at + node] = probability + ((2048 - probability) >>> 5);
        node <<= 1;
      } else {
        width -= bound;
        value -= bound;
        probabilities[at + node] = probability - (probability >>> 5);
        node = (node << 1) | 1;
      }
      if (width >>> 24 === 0) {
        width <<= 8;
        value = (value << 8) | input[place++];
      }
    }
    [range, code, next] = [width | 0, value | 0, place];
    return node;
  }

  /** A number by its bits, the highest first. @param {number} at @param {number} bits */
  function number(at, bits) {
    return tree(at, 1, 1 << bits) - (1 << bits);
  }

  /** A number by its bits, the lowest first. @param {number} at @param {number} bits */
  function mirrored(at, bits) {
    let [node, found] = [1, 0];
    for (let bit = 0; bit < bits; bit += 1) {
      const taken = choice(at + node);
      node = (node << 1) | taken;
      found |= taken << bit;
    }
    return found;
  }

  /** Bits that are as often set as not. @param {number} bits */
  function even(bits) {
    let found = 0;
    for (let left = bits; left > 0; left -= 1) {
      range >>>= 1;
      const taken = code >>> 0 >= range >>> 0 ? 1 : 0;
      if (taken) code -= range;
      found = (found << 1) | taken;
      if (range >>> 24 === 0) {
        range <<= 8;
        code = (code << 8) | input[next++];
      }
    }
    return found;
  }

  /** @param {number} at @param {number} position */
  function length(at, position) {
    if (!choice(at)) return 2 + number(at + 2 + position * 8, 3);
    if (!choice(at + 1)) return 10 + number(at + MIDDLE + position * 8, 3);
    return 18 + number(at + LONGEST, 8);
  }

  /** @param {number} long */
  function distance(long) {
    const slot = number(SLOTS + Math.min(long - 2, 3) * 64, 6);
    if (slot < 4) return slot;
    const bits = (slot >>> 1) - 1;
    const start = (2 | (slot & 1)) << bits;
    if (slot < 14) return start + mirrored(FOOTS + start - slot, bits);
    return start + (even(bits - 4) << 4) + mirrored(ALIGN, 4);
  }

  function literal() {
    const before = written > 0 ? output[written - 1] : 0;
    const place = ((written & literalMask) << literalBits) | (before >>> (8 - literalBits));
    const at = LITERALS + place * 0x300;
    let node = 1;
    if (state >= 7) {
      let like = output[written - first - 1];
      while (node < 0x100) {
        const bit = (like >>> 7) & 1;
        like <<= 1;
        const taken = choice(at + 0x100 + (bit << 8) + node);
        node = (node << 1) | taken;
        if (taken !== bit) break;
      }
    }
    output[written++] = tree(at, node, 0x100);
    state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
  }

  /** @param {number} long */
  function copy(long) {
    if (first >= written || written + long > size) throw new RangeError("not what was packed");
    const end = written + long;
    for (let from = written - first - 1; written < end; ) output[written++] = output[from++];
  }

  function step() {
    const position = written & positionMask;
    if (!choice(IS_MATCH + state * POSITION_STATES + position)) {
      literal();
    } else if (!choice(IS_AGAIN + state)) {
      [fourth, third, second] = [third, second, first];
      const long = length(LENGTH, position);
      state = state < 7 ? 7 : 10;
      first = distance(long);
      copy(long);
    } else {
      // The last distance once more, and for one byte only: an older one is asked for first.
      const isLast = !choice(IS_OLDER + state);
      if (isLast && !choice(IS_LONG + state * POSITION_STATES + position)) {
        state = state < 7 ? 9 : 11;
        copy(1);
        return;
      }
      if (!isLast) older();
      const long = length(LENGTH_AGAIN, position);
      state = state < 7 ? 8 : 11;
      copy(long);
    }
  }

  /** An older distance, moved to the front. */
  function older() {
    let found = second;
    if (choice(IS_OLDER_THAN_SECOND + state)) {
      found = third;
      if (choice(IS_FOURTH + state)) {
        found = fourth;
        fourth = third;
      }
      third = second;
    }
    second = first;
    first = found;
  }

  function start() {
    const properties = input[0];
    if (properties >= 9 * 5 * 5) throw new RangeError("not what was packed");
    literalBits = properties % 9;
    const rest = Math.floor(properties / 9);
    literalMask = (1 << (rest % 5)) - 1;
    positionMask = (1 << Math.floor(rest / 5)) - 1;
    probabilities = new Uint16Array(LITERALS + (0x300 << (literalBits + (rest % 5)))).fill(HALF);
    next = HEAD + 1;
    while (next < HEAD + FIRST_BYTES) code = (code << 8) | input[next++];
    isStarted = true;
  }

  /** @param {Uint8Array<ArrayBuffer>} part */
  function append(part) {
    const joined = new Uint8Array(input.length - next + part.length);
    joined.set(input.subarray(next));
    joined.set(part, input.length - next);
    [input, next] = [joined, 0];
  }

  /** @type {Unpacker["take"]} */
  function take(part) {
    const from = written;
    if (part) append(part);
    if (!isStarted && input.length >= (part ? HEAD + LARGEST_CHOICE : HEAD + FIRST_BYTES)) start();
    const last = part ? input.length - LARGEST_CHOICE : input.length;
    if (isStarted) while (written < size && next <= last) step();
    if (!part && written < size) throw new RangeError("not the whole of what was packed");
    return output.subarray(from, written);
  }

  return { take, whole: output };
}
