using System.Buffers.Binary;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class PalettePngTests
{
    [Fact]
    public void Write_AFewColours_ComeBackAsTheyWere()
    {
        using SKBitmap picture = Made(64, 40, (x, y) => x < 20 ? SKColors.White : y < 20 ? new SKColor(0x12, 0x5C, 0xB0) : new SKColor(0xE0, 0x44, 0x8F));
        using SKBitmap back = SKBitmap.Decode(Written(picture));
        for (int y = 0; y < 40; y++)
        {
            for (int x = 0; x < 64; x++)
            {
                Assert.Equal(picture.GetPixel(x, y), back.GetPixel(x, y));
            }
        }
    }

    [Fact]
    public void Write_SoftShades_StayWithinTwoSteps()
    {
        using SKBitmap picture = Made(256, 64, (x, y) => new SKColor((byte)(120 + (x / 2)), (byte)(118 + (x / 2)), (byte)(110 + (x / 2))));
        using SKBitmap back = SKBitmap.Decode(Written(picture));
        for (int x = 0; x < 256; x++)
        {
            SKColor was = picture.GetPixel(x, 30), now = back.GetPixel(x, 30);
            Assert.InRange(Math.Abs(was.Red - now.Red) + Math.Abs(was.Green - now.Green) + Math.Abs(was.Blue - now.Blue), 0, 6);
        }
    }

    [Fact]
    public void Write_TooManyBytes_TakesFewerColours()
    {
        Random noise = new(5);
        using SKBitmap picture = Made(300, 300, (_, _) => new SKColor((byte)noise.Next(200, 250), (byte)noise.Next(200, 250), (byte)noise.Next(200, 250)));
        byte[] all = Written(picture), few = Written(picture, 62_000);
        Assert.True(all.Length > 80_000);
        Assert.InRange(few.Length, 40_000, 64_000);
        using SKBitmap back = SKBitmap.Decode(few);
        Assert.InRange((int)back.GetPixel(7, 7).Red, 195, 255);
    }

    [Fact]
    public void Write_Chunks_CarryTheFinenessAndTheirChecks()
    {
        // Expected check of "IEND" is printed in the specification's example files: AE 42 60 82.
        using SKBitmap picture = Made(9, 5, (x, _) => x == 3 ? SKColors.Black : SKColors.White);
        byte[] png = Written(picture);
        Assert.Equal([0xAE, 0x42, 0x60, 0x82], png[^4..]);
        int at = png.AsSpan().IndexOf("pHYs"u8);
        // 254 dots an inch are 10 a millimetre.
        Assert.Equal(10_000, BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(at + 4)));
        Assert.Equal(1, png[at + 12]);
        Assert.Equal((9, 5), (BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(16)), BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(20))));
    }

    private static SKBitmap Made(int width, int height, Func<int, int, SKColor> color)
    {
        SKBitmap picture = new(width, height, SKColorType.Rgba8888, SKAlphaType.Premul);
        for (int y = 0; y < height; y++)
        {
            for (int x = 0; x < width; x++)
            {
                picture.SetPixel(x, y, color(x, y));
            }
        }

        return picture;
    }

    private static byte[] Written(SKBitmap picture, int most = int.MaxValue)
    {
        using MemoryStream stream = new();
        using SKPixmap pixels = picture.PeekPixels();
        PalettePng.Write(stream, pixels, 254, most);
        return stream.ToArray();
    }
}
