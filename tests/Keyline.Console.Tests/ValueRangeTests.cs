using System.Numerics;
using Keyline.Console.Commands;

namespace Keyline.Console.Tests;

/// <summary>The range of values taken with vectors is that taken one by one, wherever missing ones lie.</summary>
public sealed class ValueRangeTests
{
    [Fact]
    public void Of_AnyLength_IsThatOfThePlainLoop()
    {
        Random random = new(5);
        for (int length = 0; length < 200; length++)
        {
            float[] floats = [.. Enumerable.Range(0, length).Select(_ => random.Next(5) == 0 ? float.NaN : (float)((random.NextDouble() * 20) - 10))];
            Assert.Equal(Plain(floats, float.NaN), ValueRange.Of<float>(floats, float.NaN));
            double[] doubles = [.. floats.Select(f => f * Math.PI)];
            Assert.Equal(Plain(doubles, double.NaN), ValueRange.Of<double>(doubles, double.NaN));
            byte[] bytes = [.. Enumerable.Range(0, length).Select(_ => (byte)(random.Next(4) == 0 ? 255 : random.Next(1, 255)))];
            Assert.Equal(Plain(bytes, (byte)255), ValueRange.Of<byte>(bytes, 255));
            int[] ints = [.. bytes.Select(b => b == 255 ? 0 : (b - 127) * 1_000_003)];
            Assert.Equal(Plain(ints, 0), ValueRange.Of<int>(ints, 0));
        }
    }

    [Fact]
    public void Of_NothingWithASign_HasNone()
    {
        float[] zeros = new float[100];
        Array.Fill(zeros, -0f);
        (double least, double greatest, _) = ValueRange.Of<float>(zeros, float.NaN);
        Assert.False(double.IsNegative(least) || double.IsNegative(greatest));
    }

    private static (double, double, long) Plain<T>(T[] values, T missing)
        where T : unmanaged, INumber<T>
    {
        T[] there = [.. values.Where(v => !T.IsNaN(v) && v != missing)];
        return there.Length == 0 ? (double.PositiveInfinity, double.NegativeInfinity, values.Length)
            : (double.CreateChecked(there.Min()), double.CreateChecked(there.Max()), values.Length - there.Length);
    }
}
