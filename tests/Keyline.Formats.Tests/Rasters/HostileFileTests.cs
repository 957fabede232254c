using BitMiracle.LibTiff.Classic;
using CsCheck;
using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Damaged files end in a sentence for their owner, never in any other error, and never on the console.</summary>
public sealed class HostileFileTests
{
    private static readonly byte[][] Sound =
    [
        new TestTiff().ToBytes(),
        new TestTiff { Compression = Compression.ADOBE_DEFLATE, Predictor = 3, Tile = 16 }.ToBytes(),
        new TestTiff { Compression = Compression.LZW, Predictor = 2, Mode = "wl" }.ToBytes(),
        new TestTiff { Compression = Compression.PACKBITS, Mode = "wb", Nodata = "-9999", KeyText = "name|" }.ToBytes(),
        "ncols 3\nnrows 2\nxllcorner 500000\nyllcorner 4000000\ncellsize 10\nNODATA_value -1\n1 2 3\n4 5 -1\n"u8.ToArray(),
    ];

    [Fact]
    public void Read_BytesChangedAnywhere_ReadsOrRefuses() =>
        Gen.Select(Gen.Int[0, Sound.Length - 1], Gen.Select(Gen.Int[0, int.MaxValue], Gen.Byte).Array[1, 6]).Sample((which, changes) =>
        {
            byte[] bytes = [.. Sound[which]];
            foreach ((int at, byte value) in changes)
            {
                // Half of the changes fall on the tags, where they do most harm.
                int place = at % 2 == 0 ? at % bytes.Length : Math.Max(0, bytes.Length - 1 - (at % 700));
                bytes[place] = value;
            }

            ReadsOrRefuses(bytes);
        }, iter: 3000);

    [Fact]
    public void Read_CutAnywhere_ReadsOrRefuses()
    {
        foreach (byte[] sound in Sound)
        {
            for (int length = 0; length < sound.Length; length += 1 + (sound.Length / 150))
            {
                ReadsOrRefuses(sound[..length]);
            }
        }
    }

    private static void ReadsOrRefuses(byte[] bytes)
    {
        try
        {
            ElevationSource source = ElevationReader.Read(new MemoryStream(bytes), "f", new ElevationReadOptions { Crs = GroundCrs.FromEpsg(32610), MaximumCells = 1_000_000 });
            Assert.True(source.Grid.Heights.Length > 0);
        }
        catch (GroundDataException e)
        {
            Assert.StartsWith("f: ", e.Message, StringComparison.Ordinal);
        }
    }
}
