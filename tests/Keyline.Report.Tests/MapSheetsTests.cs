using System.Diagnostics;
using System.Globalization;
using System.Text;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class MapSheetsTests
{
    private static readonly PlanMapOptions Words = new() { CoordinateSystem = "EPSG:32610, WGS 84 / UTM zone 10N", MadeWith = "Keyline", TrueNorth = -1.26 };

    [Theory]
    [InlineData(500, SheetPaper.A4)]
    [InlineData(1000, SheetPaper.Letter)]
    [InlineData(2500, SheetPaper.A4)]
    public void Sheet_HundredMetres_AreAHundredThousandOverTheScale(int scale, SheetPaper paper)
    {
        SheetTiling tiling = SheetTiling.For(SquareField.Make(100).Field.Boundary, new SheetOptions { Scale = scale, Paper = paper });
        SheetTile tile = tiling.Tiles[0];
        MapView view = new(tiling.Frame, tiling.Scale, tile.Middle);
        SKPoint from = view.At(tile.Middle.X - 50, tile.Middle.Y - 50), to = view.At(tile.Middle.X + 50, tile.Middle.Y + 50);
        Assert.Equal(100_000.0 / scale, to.X - from.X, 3);
        Assert.Equal(100_000.0 / scale, from.Y - to.Y, 3);
        Assert.Equal(tiling.Frame.Width, tile.Window.Width * 1000 / scale, 3);
    }

    [Theory]
    [InlineData(SheetPaper.A4)]
    [InlineData(SheetPaper.Letter)]
    public void Page_SquareOfHundredMetresAtOneToAThousand_MeasuresAHundredMillimetres(SheetPaper paper)
    {
        // Ten dots a millimetre: the printed page as another program draws it.
        using SKBitmap page = Rasterised(Pdf(SquareField.Make(100), new SheetOptions { Scale = 1000, Paper = paper, Map = Words }), page: 2, dotsPerInch: 254);
        float[] across = Dark(Enumerable.Range(0, page.Width).Select(x => page.GetPixel(x, page.Height / 3)));
        // Frame, boundary, boundary, frame; the middle of each line.
        Assert.Equal(4, across.Length);
        Assert.Equal(1000, across[2] - across[1], 5f);
        int middle = (int)((across[1] + across[2]) / 2) + 31;
        float[] down = Dark(Enumerable.Range(0, page.Height * 7 / 10).Select(y => page.GetPixel(middle, y)));
        Assert.Equal(1000, down[2] - down[1], 5f);
    }

    [Fact]
    public void Write_Twice_GivesTheSameBytesWithoutADate()
    {
        KeylinePlan plan = InventedPlan.Make(150, 180);
        byte[] pdf = Pdf(plan, new SheetOptions { Map = Words });
        Assert.Equal(pdf, Pdf(plan, new SheetOptions { Map = Words }));
        string text = Encoding.Latin1.GetString(pdf);
        Assert.StartsWith("%PDF-1.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("CreationDate", text, StringComparison.Ordinal);
        Assert.DoesNotContain("ModDate", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1000, null)]
    [InlineData(500, true)]
    [InlineData(2000, false)]
    public void Tiling_CoversTheFieldAndOverlaps(int scale, bool? landscape)
    {
        Geometry field = InventedPlan.Make().Field.Boundary;
        SheetTiling tiling = SheetTiling.For(field, new SheetOptions { Scale = scale, Landscape = landscape });
        Geometry shown = tiling.Tiles.Select(t => field.Factory.ToGeometry(t.Window)).Aggregate((a, b) => a.Union(b));
        Assert.True(shown.Contains(field));
        Assert.Equal(Enumerable.Range(1, tiling.Tiles.Count), tiling.Tiles.Select(t => t.Number));
        foreach (SheetTile tile in tiling.Tiles)
        {
            if (tiling.Beside(tile, 0, 1) is { } east)
            {
                Assert.Equal(SheetTiling.Overlap * scale / 1000, tile.Window.MaxX - east.Window.MinX, 3);
            }

            if (tiling.Beside(tile, 1, 0) is { } south)
            {
                Assert.Equal(SheetTiling.Overlap * scale / 1000, south.Window.MaxY - tile.Window.MinY, 3);
            }
        }

        Assert.True(landscape is null || tiling.Paper.Width > tiling.Paper.Height == landscape);
        Assert.True(tiling.Frame.Bottom < tiling.Strip.Top && tiling.Strip.Bottom < tiling.Paper.Height);
    }

    [Fact]
    public void Tiling_ScaleLeftOpen_IsTheLargestThatNeedsFewSheets()
    {
        Geometry field = SquareField.Make(400).Field.Boundary;
        SheetTiling tiling = SheetTiling.For(field, new SheetOptions());
        int larger = SheetOptions.Scales[SheetOptions.Scales.ToList().IndexOf(tiling.Scale) - 1];
        Assert.InRange(tiling.Tiles.Count, 1, SheetOptions.FewSheets);
        Assert.True(SheetTiling.For(field, new SheetOptions { Scale = larger }).Tiles.Count > SheetOptions.FewSheets);
        // 400 m at 1 : 2 000 are 200 mm: the frame of an A4 sheet is 281 by 154 mm, so two landscape sheets or two upright ones.
        Assert.Equal((1000, 6), (tiling.Scale, tiling.Tiles.Count));
        Assert.Equal(2, SheetTiling.For(field, new SheetOptions { Scale = 2000 }).Tiles.Count);
    }

    [Fact]
    public void Tiling_SheetsBesideTheField_AreLeftOut()
    {
        Geometry bent = new Polygon(new LinearRing([new(0, 0), new(1500, 0), new(1500, 60), new(60, 60), new(60, 1500), new(0, 1500), new(0, 0)]));
        SheetTiling tiling = SheetTiling.For(bent, new SheetOptions { Scale = 1000, Landscape = true });
        Assert.True(tiling.Tiles.Count < tiling.Rows * tiling.Columns);
        Assert.True(tiling.Tiles.Select(t => bent.Factory.ToGeometry(t.Window)).Aggregate<Geometry>((a, b) => a.Union(b)).Contains(bent));
    }

    [Fact]
    public void Write_ScaleOfNoSheet_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => MapSheets.Write(Stream.Null, SquareField.Make(100), new SheetOptions { Scale = 1234 }));

    [Fact]
    public void Write_Cancelled_WritesNothing()
    {
        using MemoryStream pdf = new();
        Assert.Throws<OperationCanceledException>(() => MapSheets.Write(pdf, SquareField.Make(100), null, new CancellationToken(canceled: true)));
        Assert.Equal(0, pdf.Length);
    }

    [Fact]
    public void Pages_AsAnotherProgramReadsThem_HaveTextFontsAndSheetsThatNameEachOther()
    {
        KeylinePlan plan = InventedPlan.Make(300, 360);
        SheetOptions options = new() { Scale = 1000, Paper = SheetPaper.Letter, Landscape = true, Map = Words };
        int sheets = SheetTiling.For(plan.Field.Boundary, options).Tiles.Count;
        Assert.InRange(sheets, 2, 6);
        string file = Path.Combine(Directory.CreateTempSubdirectory("sheets").FullName, "sheets.pdf");
        using (FileStream stream = File.Create(file))
        {
            Assert.Equal((1000, sheets), MapSheets.Write(stream, plan, options));
        }

        string info = Run("pdfinfo", file), fonts = Run("pdffonts", file);
        Assert.Matches($@"Pages:\s+{sheets + 1}\n", info);
        Assert.DoesNotContain("Date", info, StringComparison.Ordinal);
        string[] rows = [.. fonts.Split('\n').Where(r => r.Contains("OpenSans", StringComparison.Ordinal))];
        Assert.Equal(2, rows.Length);
        Assert.All(rows, r => Assert.Matches(@"Identity-H\s+yes yes yes", r));
        Assert.Equal(rows.Length, fonts.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length - 2);

        string overview = Run("pdftotext", "-f", "1", "-l", "1", "-layout", file, "-"), first = Run("pdftotext", "-f", "2", "-l", "2", file, "-");
        Assert.Contains("Three Combes", overview, StringComparison.Ordinal);
        Assert.Contains("on US Letter", overview, StringComparison.Ordinal);
        Assert.Contains("true north 1.3° left of it", overview, StringComparison.Ordinal);
        foreach (string caution in PlanMapOptions.DefaultCautions)
        {
            Assert.Contains(caution.Split(' ')[0] + " " + caution.Split(' ')[1], overview, StringComparison.Ordinal);
        }

        Assert.Contains($"Sheet 1 of {sheets}", first, StringComparison.Ordinal);
        Assert.Contains("joins sheet 2", first, StringComparison.Ordinal);
        Assert.Contains("1 : 1 000", first, StringComparison.Ordinal);
        Assert.Contains("Landholder, date", first, StringComparison.Ordinal);
        // A halo must not say a word twice.
        Assert.Single(System.Text.RegularExpressions.Regex.Matches(overview, "Tree belt"));
        Directory.Delete(Path.GetDirectoryName(file)!, true);
    }

    private static byte[] Pdf(KeylinePlan plan, SheetOptions options)
    {
        using MemoryStream pdf = new();
        MapSheets.Write(pdf, plan, options);
        return pdf.ToArray();
    }

    // Middles of dark runs of pixels.
    private static float[] Dark(IEnumerable<SKColor> pixels)
    {
        List<float> middles = [];
        int at = 0, from = -1;
        foreach (SKColor c in pixels.Append(SKColors.White))
        {
            bool dark = c.Red < 0x50 && c.Green < 0x50 && c.Blue < 0x50;
            if (dark && from < 0)
            {
                from = at;
            }
            else if (!dark && from >= 0)
            {
                middles.Add((from + at - 1) / 2f);
                from = -1;
            }

            at++;
        }

        return [.. middles];
    }

    private static SKBitmap Rasterised(byte[] pdf, int page, int dotsPerInch)
    {
        string folder = Directory.CreateTempSubdirectory("sheets").FullName, file = Path.Combine(folder, "sheets.pdf");
        File.WriteAllBytes(file, pdf);
        string number = page.ToString(CultureInfo.InvariantCulture);
        Run("pdftoppm", "-f", number, "-l", number, "-r", dotsPerInch.ToString(CultureInfo.InvariantCulture), "-png", "-singlefile", file, Path.Combine(folder, "page"));
        SKBitmap drawn = SKBitmap.Decode(Path.Combine(folder, "page.png"));
        Directory.Delete(folder, true);
        return drawn;
    }

    internal static string Run(string program, params string[] arguments)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true, StandardOutputEncoding = Encoding.UTF8 })!;
            _ = process.StandardError.ReadToEndAsync();
            string said = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.Equal(0, process.ExitCode);
            return said;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip($"{program} of poppler-utils, which reads the pages here, is not installed.");
            throw;
        }
    }
}
