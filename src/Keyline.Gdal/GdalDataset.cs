using System.Globalization;
using System.Runtime.InteropServices;

namespace Keyline.Gdal;

/// <summary>A file opened by GDAL, or one it is making in memory.</summary>
internal sealed class GdalDataset : IDisposable
{
    private const uint RasterFlags = 0x02 | 0x40;
    private const uint VectorFlags = 0x04 | 0x40;
    private static int _made;
    private nint _handle;

    private GdalDataset(nint handle, string name) => (_handle, Name) = (handle, name);

    public nint Handle => _handle;

    /// <summary>Name for messages.</summary>
    public string Name { get; }

    public static GdalDataset Open(string path, bool vector)
    {
        string name = Path.GetFileName(path);
        nint handle = Native.GDALOpenEx(path, vector ? VectorFlags : RasterFlags, 0, 0, 0);
        return handle == 0 ? throw Failed(name, "it cannot be opened") : new GdalDataset(handle, name);
    }

    /// <summary>A name nobody else uses for a file in memory.</summary>
    public static string MemoryName(string ending) =>
        string.Create(CultureInfo.InvariantCulture, $"/vsimem/keyline-{Environment.ProcessId}-{Interlocked.Increment(ref _made)}{ending}");

    /// <summary>Copies to another form, as the words of gdal_translate say.</summary>
    public GdalDataset Translate(string target, params ReadOnlySpan<string> words) => Make(
        target, words, Native.GDALTranslateOptionsNew, Native.GDALTranslateOptionsFree, (options, _) => (Native.GDALTranslate(target, _handle, options, out int wrong), wrong));

    /// <summary>Brings it to another coordinate system, as the words of gdalwarp say.</summary>
    public GdalDataset Warp(string target, params ReadOnlySpan<string> words) => Make(
        target, words, Native.GDALWarpAppOptionsNew, Native.GDALWarpAppOptionsFree, (options, own) => (Native.GDALWarp(target, 0, 1, own, options, out int wrong), wrong));

    /// <summary>Copies shapes to another form, as the words of ogr2ogr say.</summary>
    public GdalDataset VectorTranslate(string target, params ReadOnlySpan<string> words) => Make(
        target, words, Native.GDALVectorTranslateOptionsNew, Native.GDALVectorTranslateOptionsFree, (options, own) => (Native.GDALVectorTranslate(target, 0, 1, own, options, out int wrong), wrong));

    /// <summary>The bytes of a finished file in memory, which is then gone.</summary>
    public static MemoryStream Take(string memoryName, string name)
    {
        nint bytes = Native.VSIGetMemFileBuffer(memoryName, out long length, 0);
        if (bytes == 0 || length > Array.MaxLength)
        {
            throw new GroundDataException($"{name}: GDAL made more of it than is read at once; cut it to the farm.");
        }

        byte[] copy = new byte[length];
        Marshal.Copy(bytes, copy, 0, copy.Length);
        return new MemoryStream(copy);
    }

    public void Dispose()
    {
        if (_handle != 0)
        {
            Native.GDALClose(_handle);
            _handle = 0;
        }
    }

    public static GroundDataException Failed(string name, string what) => new($"{name}: {what} by GDAL ({Native.Complaint()}).") { Fault = GroundDataFault.Format };

    private GdalDataset Make(string target, ReadOnlySpan<string> words, Func<nint[], nint, nint> begin, Action<nint> end, Func<nint, nint[], (nint Made, int Wrong)> run)
    {
        nint[] list = Native.List(words);
        nint options = 0;
        try
        {
            options = begin(list, 0);
            (nint made, int wrong) = options == 0 ? (0, 1) : run(options, [_handle]);
            return made == 0 || wrong != 0 ? throw Failed(Name, "it cannot be converted") : new GdalDataset(made, target);
        }
        finally
        {
            if (options != 0)
            {
                end(options);
            }

            Native.Free(list);
        }
    }
}
