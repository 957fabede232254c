using System.Buffers.Binary;

namespace Keyline.Fuzzing;

/// <summary>Numbers that depend on a seed alone (SplitMix64, Steele, Lea and Flood 2014).</summary>
internal sealed class Dice(ulong seed)
{
    private ulong _state = seed;

    public int Below(int end) => (int)(Next() % (ulong)Math.Max(1, end));

    public ulong Next()
    {
        ulong x = _state += 0x9E3779B97F4A7C15;
        x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9;
        x = (x ^ (x >> 27)) * 0x94D049BB133111EB;
        return x ^ (x >> 31);
    }
}

/// <summary>Damages sound files in the ways files are damaged, and in worse ones.</summary>
internal static class Mutation
{
    private static readonly uint[] Telling = [0, 1, 2, 3, 7, 8, 127, 128, 255, 256, 32767, 32768, 65535, 65536, 1 << 24, int.MaxValue, 1u << 31, uint.MaxValue];
    private static readonly string[] Words = ["nan", "inf", "-1", "1e308", "1e-308", "0", "99999999999999999999", ",", ";", "\"", "[", "]", "{", "}", ":", "\t", "\0", "ncols", "180", "EPSG:32610", "null", "\u00e9", "TOWGS84["];

    public static byte[] Of(byte[][] sound, int which, Dice dice)
    {
        List<byte> bytes = [.. sound[which]];
        for (int change = Math.Max(0, dice.Below(8) - 4); change >= 0 && bytes.Count > 0; change--)
        {
            // Half of the changes fall on the first and last parts, where headers and tags stand.
            int at = dice.Below(2) == 0 ? dice.Below(bytes.Count) : dice.Below(2) == 0 ? dice.Below(Math.Min(bytes.Count, 200)) : bytes.Count - 1 - dice.Below(Math.Min(bytes.Count, 700));
            // Most changes keep the length, so that what comes after is still found.
            switch (dice.Below(14))
            {
                case 0 or 8 or 9:
                    bytes[at] = (byte)dice.Next();
                    break;
                case 1 or 10 or 11:
                    bytes[at] ^= (byte)(1 << dice.Below(8));
                    break;
                case 2:
                    bytes.RemoveRange(at, Math.Min(bytes.Count - at, 1 + dice.Below(64)));
                    break;
                case 3:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
                case 4:
                    bytes.InsertRange(at, bytes.GetRange(at, Math.Min(bytes.Count - at, 1 + dice.Below(64))));
                    break;
                case 5:
                    byte[] other = sound[dice.Below(sound.Length)];
                    int from = dice.Below(other.Length);
                    bytes.InsertRange(at, other.AsSpan(from, Math.Min(other.Length - from, 1 + dice.Below(200))).ToArray());
                    break;
                case 6 or 12 or 13:
                    Put(bytes, at, dice);
                    break;
                default:
                    bytes.InsertRange(at, System.Text.Encoding.UTF8.GetBytes(Words[dice.Below(Words.Length)]));
                    break;
            }
        }

        return [.. bytes];
    }

    private static void Put(List<byte> bytes, int at, Dice dice)
    {
        Span<byte> number = stackalloc byte[4];
        uint value = Telling[dice.Below(Telling.Length)];
        int size = dice.Below(2) == 0 ? 2 : 4;
        if (dice.Below(2) == 0)
        {
            BinaryPrimitives.WriteUInt32LittleEndian(number, value);
        }
        else
        {
            BinaryPrimitives.WriteUInt32BigEndian(number, value);
            number[..size].CopyTo(number);
        }

        for (int i = 0; i < size && at + i < bytes.Count; i++)
        {
            bytes[at + i] = number[i];
        }
    }
}
